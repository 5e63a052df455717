import { z } from 'zod'

/** Every setting: how its text is checked, its standard value, and the reason for that value. */

const number = (least: number, most: number, whole = true) =>
  z
    .string()
    .regex(whole ? /^\d+$/ : /^\d+(\.\d+)?$/, whole ? 'is not a whole number' : 'is not a number')
    .transform(Number)
    .pipe(z.number().min(least, `is below ${least}`).max(most, `is above ${most}`))

const path = z.string().max(1_000, 'is longer than 1,000 characters')

export const logLevels = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const

/**
 * Ports that no browser opens, whoever listens there: the fetch standard's table of bad ports
 * (https://fetch.spec.whatwg.org/#port-blocking). 0 is not one of them here: it asks for a free port.
 */
export const BAD_PORTS: ReadonlySet<number> = new Set([
  1, 7, 9, 11, 13, 15, 17, 19, 20, 21, 22, 23, 25, 37, 42, 43, 53, 69, 77, 79, 87, 95, 101, 102, 103, 104,
  109, 110, 111, 113, 115, 117, 119, 123, 135, 137, 139, 143, 161, 179, 389, 427, 465, 512, 513, 514, 515,
  526, 530, 531, 532, 540, 548, 554, 556, 563, 587, 601, 636, 989, 990, 993, 995, 1719, 1720, 1723, 2049,
  3659, 4045, 4190, 5060, 5061, 6000, 6566, 6665, 6666, 6667, 6668, 6669, 6679, 6697, 10080,
])

export const schemas = {
  PORT: number(0, 65_535).refine(port => !BAD_PORTS.has(port), 'is one that browsers refuse to open'),
  HOST: z.string().regex(/^[A-Za-z0-9.:_-]{1,253}$/, 'is not a host name or an address'),
  DATABASE_URL: z.string().regex(/^postgres(ql)?:\/\/\S+$/, 'does not start with postgres://'),
  SUNUP_DATA: path,
  SUNUP_BACKUPS: path,
  SUNUP_BACKUP_MINUTES: number(0.01, 1_440, false),
  SUNUP_TLS_CERT: path,
  SUNUP_TLS_KEY: path,
  SUNUP_PUBLIC_URL: z
    .url({ protocol: /^https?$/, error: 'is not an address such as https://board.example.gov', abort: true })
    .refine(isBareOrigin, 'must end after the host name (no path, no password)')
    .transform(text => new URL(text).origin),
  SUNUP_TRUST_PROXY: number(0, 10),
  SUNUP_LOG: z.enum(logLevels, `is none of ${logLevels.join(', ')}`),
  SUNUP_DAY: z.string().regex(/^[A-Za-z0-9._-]{1,80}$/, 'is not the name of a day'),
  SUNUP_DEVICE_RATE: number(1, 10_000),
  SUNUP_DEVICE_BURST: number(1, 1_000_000),
  SUNUP_ENROL_PER_ADDRESS: number(1, 100_000),
  SUNUP_ENROL_IN_ALL: number(1, 100_000),
  '--json': z.literal('yes', 'takes no value'),
  '--speed': number(0.1, 600, false),
  '--from': z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'is not a time of day such as 05:15')
    .transform(text => Number(text.slice(0, 2)) * 60 + Number(text.slice(3))),
  '--seed': number(0, 4_294_967_295),
  '--plan': path,
} as const

export type SettingName = keyof typeof schemas

type SettingLine = { name: SettingName; standard: string | null; unit: string; what: string; why: string }

/** Every setting with its standard value (null: none) and the reason for it. README's table is made from this one. */
export const settingsTable: readonly SettingLine[] = [
  line(
    'PORT',
    '4180',
    'port',
    'where the server listens',
    'above 1024, so no special right is needed; 0 picks a free one',
  ),
  line(
    'HOST',
    '127.0.0.1',
    'address',
    'interface the server listens on; the demo ignores it',
    'nothing leaves the machine unless somebody says so',
  ),
  line('DATABASE_URL', null, 'address', 'PostgreSQL server', 'without it the embedded database is used'),
  line(
    'SUNUP_DATA',
    '.sunup',
    'folder',
    'what this machine keeps: embedded database, demo keys',
    'in the working folder, so that a trial leaves no trace elsewhere',
  ),
  line(
    'SUNUP_BACKUPS',
    'backups',
    'folder',
    'where the running server copies itself to; `off`: nowhere; relative to SUNUP_DATA',
    'beside the data it survives a broken database, not a broken disk: another disk is better',
  ),
  line(
    'SUNUP_BACKUP_MINUTES',
    '5',
    'minutes',
    'how often a copy is made, where anything changed',
    'commands given since the last copy are lost with the machine; devices send again what they said',
  ),
  line(
    'SUNUP_TLS_CERT',
    null,
    'file',
    'certificate chain, PEM',
    'goes with SUNUP_TLS_KEY; service workers and location need https',
  ),
  line('SUNUP_TLS_KEY', null, 'file', 'private key, PEM', 'goes with SUNUP_TLS_CERT'),
  line(
    'SUNUP_PUBLIC_URL',
    null,
    'origin',
    'address people type, where a proxy stands in front',
    'links and the check of Origin need it',
  ),
  line(
    'SUNUP_TRUST_PROXY',
    '0',
    'proxies',
    'how many proxies of yours add to X-Forwarded-For',
    'anybody can write that header, so none is believed unless stated',
  ),
  line('SUNUP_LOG', 'info', 'level', 'how much is logged', 'requests appear from debug on'),
  line(
    'SUNUP_DAY',
    null,
    'name',
    'the one day to run',
    'without it every open election day of the database is run',
  ),
  line(
    'SUNUP_DEVICE_RATE',
    '20',
    'reports a second',
    'lasting rate of one device',
    'a person taps once a second at most; a backlog is covered by the burst',
  ),
  line(
    'SUNUP_DEVICE_BURST',
    '5000',
    'reports',
    'reports a device may send at once',
    'a whole outbox (5,000 reports) after a long break',
  ),
  line(
    'SUNUP_ENROL_PER_ADDRESS',
    '10',
    'wrong codes a minute',
    'wrong enrolment codes of one address',
    'mistyping by a busy warehouse fits; guessing 30^10 codes does not',
  ),
  line(
    'SUNUP_ENROL_IN_ALL',
    '60',
    'wrong codes a minute',
    'wrong enrolment codes of all addresses',
    'bounds a guesser who has many addresses',
  ),
  line('--json', null, 'flag', 'print one JSON line when ready', 'for scripts'),
  line(
    '--speed',
    '30',
    'times',
    'how fast the practice clock runs',
    'a sixteen-hour day in about half an hour',
  ),
  line(
    '--from',
    null,
    'HH:MM',
    'where a new practice day starts; the morning before is played quickly',
    '09:05: polls are open and the morning’s troubles at hand',
  ),
  line('--seed', '1', 'number', 'which practice day the simulator draws', 'the same seed gives the same day'),
  line('--plan', null, 'folder', 'plan of the practice day', 'without it Ellery County'),
]

function line(
  name: SettingName,
  standard: string | null,
  unit: string,
  what: string,
  why: string,
): SettingLine {
  return { name, standard, unit, what, why }
}

function isBareOrigin(text: string): boolean {
  const url = new URL(text)
  return (
    url.username === '' && url.password === '' && url.pathname === '/' && url.search === '' && url.hash === ''
  )
}
