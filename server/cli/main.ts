import { openAccessStore } from '../../db/accessStore.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { openDays } from '../../db/days.ts'
import { makeAccess } from '../access/makeAccess.ts'
import { faultLine } from '../domain/plan/checkFault.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { toRfc3339 } from '../domain/time.ts'
import { keepPlan } from '../openDay.ts'
import { progressTo } from '../progress.ts'
import { commandLine, type Settings } from '../settings.ts'
import { borrowStorage, type Storage } from '../storage.ts'
import { backup } from './backup.ts'
import { DEVICE_USAGE, deviceWords } from './device/words.ts'
import { PEOPLE_USAGE, peopleWords } from './people.ts'
import { planCheck, planSummary } from './plan.ts'
import { planHash, readPlanFolder } from './planFiles.ts'
import { restore } from './restore.ts'
import { planImportVip, VIP_USAGE, vipWords } from './vip.ts'

/** The `sunup` command. Answers go to stdout, everything else to stderr; the exit code says whether it went well. */

const USAGE = `sunup plan check DIR          every fault of a plan folder, or its summary
sunup plan import DIR         keep the plan; an election's day is opened (the server runs it at its next start)
${VIP_USAGE}
sunup days                    the days of this database
sunup codes DAY               a fresh enrolment code for each precinct, as CSV
${PEOPLE_USAGE}
${DEVICE_USAGE}
sunup log verify [DAY]        recompute the log's chain and name the first altered or missing entry
sunup backup FILE [--replace] plans, logs, devices and people as one file, also beside a running server
sunup restore FILE            put a backup into an empty system`

const out = (line: string) => void process.stdout.write(`${line}\n`)
const complain = (line: string) => void process.stderr.write(`${line}\n`)
const wall = () => Date.now()

async function main(): Promise<number> {
  const { words, outcome } = commandLine()
  if (words.length === 0 || words[0] === 'help' || words[0] === '--help') {
    out(USAGE)
    return words.length === 0 ? 2 : 0
  }
  const [first, second, ...rest] = words
  if (first === 'plan' && second === 'check' && rest.length === 1) return planCheck(rest[0]!, out)
  if (first === 'device') return deviceWords(words.slice(1), process.stdin, { out, complain })
  const isVip = first === 'plan' && second === 'import' && rest.some(word => /^--vip(=|$)/.test(word))
  const vip = isVip ? vipWords(rest) : null
  if (vip && 'lines' in vip) {
    for (const line of vip.lines) complain(line)
    return 2
  }
  if (!outcome.ok) {
    for (const line of outcome.lines) complain(line)
    return 2
  }
  if (vip)
    return planImportVip(vip, { out, complain }, plan =>
      withStorage(outcome.settings, storage => importPlan(storage, plan), false),
    )
  if (first === 'plan' && second === 'import' && rest.length === 1)
    return withStorage(outcome.settings, storage => planImport(storage, rest[0]!), false)
  if (first === 'days' && second === undefined) return withStorage(outcome.settings, listDays)
  if (first === 'codes' && second !== undefined && rest.length === 0)
    return withStorage(outcome.settings, storage => codes(storage, second))
  const people = peopleWords(words)
  if (people !== null) {
    if ('run' in people) {
      const { publicUrl } = outcome.settings
      return withStorage(
        outcome.settings,
        ({ sql }) => people.run({ access: accessOf(sql), publicUrl, out, complain }),
        !people.begins,
      )
    }
    for (const line of people.lines) complain(line)
    return 2
  }
  if (first === 'log' && second === 'verify' && rest.length <= 1)
    return withStorage(outcome.settings, storage => verify(storage, rest[0]))
  if (first === 'backup' && second !== undefined && !second.startsWith('-')) {
    const replace = rest[0] === '--replace'
    if (rest.length === Number(replace))
      return withStorage(outcome.settings, storage => backup(storage, second, replace, out))
  }
  if (first === 'restore' && second !== undefined && rest.length === 0)
    return restore(outcome.settings, second, out)
  complain(`"${words.join(' ')}" is not something sunup can do:`)
  complain(USAGE)
  return 2
}

async function withStorage(
  settings: Settings,
  use: (storage: Storage) => Promise<number>,
  onlyLooks = true,
): Promise<number> {
  const storage = await borrowStorage(settings, progressTo(process.stderr), onlyLooks)
  try {
    return await use(storage)
  } finally {
    await storage.sql.end({ timeout: 5 })
    await storage.stop()
  }
}

async function planImport(storage: Storage, dir: string): Promise<number> {
  const checked = readPlanFolder(dir)
  if ('faults' in checked) {
    for (const fault of checked.faults) complain(faultLine(fault))
    complain(
      `${checked.faults.length} ${checked.faults.length === 1 ? 'fault' : 'faults'}: nothing was imported`,
    )
    return 1
  }
  return importPlan(storage, checked.plan)
}

/**
 * The plan kept, and an election's day opened with it: the server runs it at its next start. A practice day waits to
 * be practised. A day that has begun keeps the plan it began with.
 */
async function importPlan({ sql }: Storage, plan: Plan): Promise<number> {
  const opened = plan.kind === 'election' ? wall() : null
  const keeping = await keepPlan(openDays(sql), plan, planHash(plan), opened)
  if (!keeping.ok) {
    complain(`${keeping.message[0]?.toUpperCase()}${keeping.message.slice(1)}: nothing was imported.`)
    return 1
  }
  if (keeping.is === 'replaces') out('replaced the plan that was kept before: the day has not begun')
  for (const line of planSummary(plan)) out(line)
  out(`day ${keeping.id}`)
  return 0
}

async function listDays({ sql }: Storage): Promise<number> {
  for (const day of await openDays(sql).list())
    out(
      [
        day.id,
        day.kind,
        day.date,
        day.closedAt !== null ? `closed ${toRfc3339(day.closedAt)}` : day.openedAt === null ? 'kept' : 'open',
        `plan ${day.planHash.slice(0, 12)}`,
      ].join('  '),
    )
  return 0
}

async function codes({ sql }: Storage, day: string): Promise<number> {
  const record = await openDays(sql).get(day)
  if (!record) return unknownDay(day)
  const plan = await openDays(sql).plan(record.planHash)
  const access = accessOf(sql)
  out('precinct,name,code')
  for (const { code, name } of plan.precincts)
    out(`${code},"${name.replaceAll('"', '""')}",${await access.issueCode(day, code)}`)
  return 0
}

async function verify({ sql }: Storage, day: string | undefined): Promise<number> {
  const days = await openDays(sql).list()
  const wanted = day === undefined ? days : days.filter(d => d.id === day)
  if (day !== undefined && wanted.length === 0) return unknownDay(day)
  if (wanted.length === 0) {
    complain('There is no day in this database: nothing was verified.')
    return 1
  }
  const log = openDayLog(sql, { now: wall })
  let bad = 0
  for (const { id } of wanted) {
    const result = await log.verify(id)
    if (result.ok)
      out(`${id}: ${result.entries} entries, unaltered; head ${result.head.position} ${result.head.hash}`)
    else {
      bad++
      out(`${id}: entry ${result.position}: ${result.problem}: ${result.message}`)
    }
  }
  await log.close()
  return bad === 0 ? 0 : 1
}

function accessOf(sql: Storage['sql']) {
  return makeAccess({
    store: openAccessStore(sql),
    now: wall,
    enrolRate: { perAddressPerMinute: 1, inAllPerMinute: 1 },
  })
}

function unknownDay(day: string): number {
  complain(`There is no day ${day} in this database: sunup days lists them.`)
  return 1
}

main().then(
  code => {
    process.exitCode = code
  },
  error => {
    complain(error instanceof Error && error.name !== 'Error' ? error.message : String(error?.stack ?? error))
    process.exitCode = 1
  },
)
