import { isAbsolute, join } from 'node:path'
import { type logLevels, type SettingName, schemas, settingsTable } from './settingsTable.ts'

/**
 * The only reader of process.env and argv. A bad value or an unknown setting stops the boot with one line that
 * names it; values are never echoed where they may hold a password.
 */

export type Settings = {
  mode: 'demo' | 'start'
  port: number
  host: string
  databaseUrl: string | null
  /** As given; relative to the working folder. */
  dataFolder: string
  /** Automatic backups; null: switched off. */
  backups: { folder: string; everyMs: number } | null
  tls: { certFile: string; keyFile: string } | null
  /** Origin without a trailing slash. */
  publicUrl: string | null
  trustedProxies: number
  logLevel: (typeof logLevels)[number]
  day: string | null
  deviceRate: { perSecond: number; burst: number }
  enrolRate: { perAddressPerMinute: number; inAllPerMinute: number }
  demo: {
    json: boolean
    speed: number /** Minutes since local midnight. */
    from: number | null
    seed: number
    planFolder: string | null
  }
}

export type SettingsOutcome = { ok: true; settings: Settings } | { ok: false; lines: string[] }

/**
 * Settings from an environment and the words after the program's name (`demo --speed 60`, `start`).
 * An empty variable counts as not set. Not ok: one line for each thing that is wrong; the caller prints them
 * and ends with a code other than 0.
 */
export function readSettings(
  env: Readonly<Record<string, string | undefined>>,
  argv: readonly string[],
): SettingsOutcome {
  const lines: string[] = []
  const given = new Map<string, string>()
  for (const [name, value] of Object.entries(env)) {
    if (value === undefined || value === '') continue
    if (name.startsWith('SUNUP_') && !isVariable(name)) lines.push(unknown(name, variables))
    else if (isVariable(name)) given.set(name, value)
  }
  const [word, ...rest] = argv
  if (word !== 'demo' && word !== 'start')
    lines.push(`${word === undefined ? 'Nothing' : `"${word}"`} is not something to run: say demo or start.`)
  readFlags(rest, word, given, lines)

  const values = {} as Record<SettingName, unknown>
  for (const { name, standard } of settingsTable) {
    const text = given.get(name) ?? standard
    if (text === null) continue
    const parsed = schemas[name].safeParse(text)
    if (parsed.success) values[name] = parsed.data
    else lines.push(`${name} ${parsed.error.issues[0]?.message ?? 'is not valid'}.`)
  }
  const cert = values.SUNUP_TLS_CERT as string | undefined
  const key = values.SUNUP_TLS_KEY as string | undefined
  if ((cert === undefined) !== (key === undefined))
    lines.push(
      `${cert === undefined ? 'SUNUP_TLS_CERT' : 'SUNUP_TLS_KEY'} is missing: certificate and key go together.`,
    )
  if (lines.length > 0) return { ok: false, lines }

  const mode = word as 'demo' | 'start'
  return {
    ok: true,
    settings: {
      mode,
      port: values.PORT as number,
      host: mode === 'demo' ? '127.0.0.1' : (values.HOST as string),
      databaseUrl: (values.DATABASE_URL as string | undefined) ?? null,
      dataFolder: values.SUNUP_DATA as string,
      backups: backupsOf(values),
      tls: cert !== undefined && key !== undefined ? { certFile: cert, keyFile: key } : null,
      publicUrl: (values.SUNUP_PUBLIC_URL as string | undefined) ?? null,
      trustedProxies: values.SUNUP_TRUST_PROXY as number,
      logLevel: values.SUNUP_LOG as Settings['logLevel'],
      day: (values.SUNUP_DAY as string | undefined) ?? null,
      deviceRate: {
        perSecond: values.SUNUP_DEVICE_RATE as number,
        burst: values.SUNUP_DEVICE_BURST as number,
      },
      enrolRate: {
        perAddressPerMinute: values.SUNUP_ENROL_PER_ADDRESS as number,
        inAllPerMinute: values.SUNUP_ENROL_IN_ALL as number,
      },
      demo: {
        json: values['--json'] === 'yes',
        speed: values['--speed'] as number,
        from: (values['--from'] as number | undefined) ?? null,
        seed: values['--seed'] as number,
        planFolder: (values['--plan'] as string | undefined) ?? null,
      },
    },
  }
}

function backupsOf(values: Record<SettingName, unknown>): Settings['backups'] {
  const where = values.SUNUP_BACKUPS as string
  if (where === 'off') return null
  return {
    folder: isAbsolute(where) ? where : join(values.SUNUP_DATA as string, where),
    everyMs: (values.SUNUP_BACKUP_MINUTES as number) * 60_000,
  }
}

/** Settings of this process: for the composition root. */
export function settingsOfProcess(): SettingsOutcome {
  return readSettings(process.env, process.argv.slice(2))
}

/** The words after the program's name, and the settings of the environment alone: for the `sunup` command. */
export function commandLine(): { words: string[]; outcome: SettingsOutcome } {
  return { words: process.argv.slice(2), outcome: readSettings(process.env, ['start']) }
}

function readFlags(
  words: readonly string[],
  mode: string | undefined,
  given: Map<string, string>,
  lines: string[],
): void {
  for (let i = 0; i < words.length; i++) {
    const word = words[i]!
    const cut = word.indexOf('=')
    const name = cut < 0 ? word : word.slice(0, cut)
    if (!name.startsWith('--')) lines.push(`"${word}" is one word too many.`)
    else if (!isFlag(name)) lines.push(unknown(name, flags))
    else if (mode === 'start') lines.push(`${name} belongs to the demo; a real day is not steered.`)
    else if (given.has(name)) lines.push(`${name} is given twice.`)
    else if (name === '--json') given.set(name, cut < 0 ? 'yes' : word.slice(cut + 1))
    else if (cut >= 0) given.set(name, word.slice(cut + 1))
    else if (i + 1 < words.length && !words[i + 1]!.startsWith('--')) given.set(name, words[++i]!)
    else lines.push(`${name} needs a value.`)
  }
}

const flags = (Object.keys(schemas) as SettingName[]).filter(name => name.startsWith('--'))
const variables = (Object.keys(schemas) as SettingName[]).filter(name => !name.startsWith('--'))

function isFlag(name: string): name is SettingName {
  return (flags as string[]).includes(name)
}

function isVariable(name: string): name is SettingName {
  return (variables as string[]).includes(name)
}

function unknown(name: string, known: readonly string[]): string {
  return `${name.slice(0, 60)} is not a setting. Known: ${known.join(', ')}.`
}
