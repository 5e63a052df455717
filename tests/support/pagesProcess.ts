import { readFileSync, writeFileSync } from 'node:fs'
import { connect } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { openDays } from '../../db/days.ts'
import { startEmbedded } from '../../db/embedded.ts'
import { migrate } from '../../db/migrate.ts'
import type { Person } from '../../server/access/access.ts'
import { planHash as hashOf, readPlanFolder } from '../../server/cli/planFiles.ts'
import type { NewEntry } from '../../server/domain/log/dayLog.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { toRfc3339 } from '../../server/domain/time.ts'
import { systemEntry } from '../../server/live/evaluator.ts'
import { dayIdOf, keepDay } from '../../server/openDay.ts'
import { wireEntry } from '../../server/outputs/wireEntry.ts'
import type { EntryOnWire } from '../../server/protocol/board.ts'
import { checkoutFolder } from '../../server/where.ts'
import { runSunup } from './runSunup.ts'
import { signedIn } from './signedIn.ts'

/**
 * The whole server with its pages and its database, as a program of its own that a browser test may kill
 * (tests/browser/office.ts starts it and gives it orders over IPC). Ellery's plan, its clock at real speed.
 *
 * Arguments: folder of the database, port (0: a free one), HH:MM of a new day, `morning` or `empty`, `through` where
 * its clock goes on while it is down. Started again on the same folder it goes on with the same day.
 */
export type Orders = {
  /** A sign-in link. */
  link: { in: Person; out: string }
  token: { in: Person; out: string }
  /** The headers of a session: how an administrator asks. */
  session: { in: Person; out: { Cookie: string; Origin: string } }
  /** An enrolment code of a precinct. */
  code: { in: string; out: string }
  /** The same for another day than the one that runs. */
  codeOfAnotherDay: { in: string; out: string }
  /** What the log holds of a precinct, oldest first, the latest 500. */
  entries: { in: string; out: EntryOnWire[] }
  /** All that a precinct's devices said but heartbeats, oldest first, however many. */
  said: { in: string; out: EntryOnWire[] }
  /** Ends the keys of a precinct's devices; how many. */
  revoke: { in: string; out: number }
  /** Day seconds per second. */
  speed: { in: number; out: null }
  /** Plays the day quickly up to a county time, HH:MM. */
  playTo: { in: string; out: null }
  verify: { in: null; out: boolean }
}
export type Order = { [K in keyof Orders]: { id: number; order: K; with: Orders[K]['in'] } }[keyof Orders]

const [folder = '', portText = '0', startsAt = '09:30', begin = 'empty', clockGoes = ''] =
  process.argv.slice(2)
/** How far the day's clock is ahead of this machine's, kept for the next start. */
const ahead = `${folder}/ahead`
const QUICK = 3_600

const database = await startEmbedded(folder)
await migrate(database.url)
const read = readPlanFolder(`${checkoutFolder()}/seed/ellery`)
if ('faults' in read) throw new Error(JSON.stringify(read.faults))
const { plan } = read
const instant = (time: string) => instantOf(plan.date, time, plan.timeZone)

const beginAt = await standingAt()
const running = await runSunup({
  url: database.url,
  plan,
  pagesFolder: checkoutFolder(),
  keptFolder: `${folder}/kept`,
  port: Number(portText),
  startAt: beginAt,
})
const { sunup, day, clock } = running

/**
 * Where the day's clock goes on: at its log's last entry, as a practice day's; with `through` as an election's, where
 * time passes while the server is down. A new day's morning is written before anybody judges it. */
async function standingAt(): Promise<number> {
  const sql = connect(database.url, { max: 2 })
  const log = openDayLog(sql, { now: () => instant(startsAt) })
  try {
    const id = dayIdOf(plan)
    const days = openDays(sql)
    if (begin === 'morning' && (await days.get(id)) === null) {
      const { planHash } = await keepDay(days, plan, hashOf(plan), Date.now(), 1)
      const opened = systemEntry('DayOpened', instant(startsAt), { planHash, kind: plan.kind })
      await log.decide(id, () => ({ entries: [opened, ...plan.precincts.flatMap(morningOf)], result: null }))
    }
    if ((await days.get(id)) === null) {
      writeFileSync(ahead, String(instant(startsAt) - Date.now()))
      return instant(startsAt)
    }
    return clockGoes === 'through'
      ? Date.now() + Number(readFileSync(ahead, 'utf8'))
      : (await log.head(id)).recordedAt
  } finally {
    await log.close()
    await sql.end()
  }
}

/** A quiet morning, written in from paper: team complete, polls open in time, a count at nine. */
function morningOf(precinct: Plan['precincts'][number]): NewEntry[] {
  const checkedIn = Math.round(precinct.expected * 0.2)
  const counts = { checkedIn, ballotsLeft: precinct.ballots - checkedIn }
  const said = [
    ['05:30', 'TeamReported', { present: precinct.workers, missing: [] }],
    ['06:30', 'PollsOpened', {}],
    ['09:00', 'CountsReported', counts],
  ] as const
  return said.map(([time, kind, body], i) => ({
    kind,
    version: 1,
    precinct: precinct.code,
    source: `command:morning-${precinct.code}`,
    number: i + 1,
    occurredAt: instant(time),
    origin: { via: 'paper', spoke: 'precinct lead', wrote: 'p-morning' },
    body,
  })) as NewEntry[]
}

async function entriesOf(precinct: string, latest: number): Promise<EntryOnWire[]> {
  const stored = await sunup.log.readPrecinct(day, precinct, latest)
  return stored.reverse().map(one => wireEntry(one, 'desk'))
}

const answers: { [K in keyof Orders]: (asked: Orders[K]['in']) => Promise<Orders[K]['out']> } = {
  link: async person => {
    await sunup.access.addPerson(person)
    return `${running.url}/enter?key=${await sunup.access.makeLink(person, 600_000)}`
  },
  token: async person => {
    await sunup.access.addPerson(person)
    return sunup.access.makeToken(person)
  },
  session: person => signedIn(sunup.access, running.url, person),
  code: precinct => sunup.access.issueCode(day, precinct),
  codeOfAnotherDay: async precinct => {
    const sql = connect(database.url, { max: 1 })
    const other = { ...plan, date: '2027-05-04' }
    await keepDay(openDays(sql), other, hashOf(other), Date.now(), null).finally(() => sql.end())
    return sunup.access.issueCode(dayIdOf(other), precinct)
  },
  entries: precinct => entriesOf(precinct, 500),
  said: async precinct =>
    (await entriesOf(precinct, 5_000)).filter(
      e => e.origin.via === 'device' && e.kind !== 'HeartbeatReceived',
    ),
  revoke: async precinct => {
    const theirs = (await sunup.access.devicesOf(day)).filter(
      d => d.precinct === precinct && d.revokedAt === null,
    )
    for (const device of theirs) await sunup.access.revoke(device.id)
    return theirs.length
  },
  speed: async speed => {
    clock.setSpeed(speed)
    return null
  },
  playTo: async time => {
    clock.setSpeed(QUICK)
    while (clock.now() < instant(time)) await new Promise(resolve => setTimeout(resolve, 10))
    clock.setSpeed(1)
    return null
  },
  verify: async () => (await sunup.log.verify(day)).ok,
}

async function answer(order: Order): Promise<unknown> {
  return (answers[order.order] as (asked: Order['with']) => Promise<unknown>)(order.with)
}

process.on('message', (order: Order) => {
  answer(order).then(
    value => process.send?.({ id: order.id, value }),
    error => process.send?.({ id: order.id, error: String(error?.stack ?? error) }),
  )
})
process.on('disconnect', () => void stop())
process.on('SIGTERM', () => void stop())

let stopping = false
async function stop() {
  if (stopping) return
  stopping = true
  await running.stop()
  await database.stop()
  process.exit(0)
}

process.send?.({ url: running.url, day, port: running.port, now: toRfc3339(clock.now()) })
