import { type ChildProcess, spawn } from 'node:child_process'
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import type { DayRecord } from '../db/days.ts'
import type { Person } from './access/access.ts'
import { planHash, readPlanFolder } from './cli/planFiles.ts'
import type { Sunup } from './compose.ts'
import { faultLine } from './domain/plan/checkFault.ts'
import type { Plan } from './domain/plan/plan.ts'
import { hhmmOf, instantOf } from './domain/plan/zone.ts'
import { MINUTE } from './domain/time.ts'
import { keep, readKept } from './keptFile.ts'
import { practiceClock, STILL } from './live/clock.ts'
import type { LiveDay } from './live/liveDay.ts'
import { playQuickly } from './live/quickly.ts'
import { keepDay, practiceStart } from './openDay.ts'
import { type Progress, Stop } from './progress.ts'
import type { Settings } from './settings.ts'
import { checkoutFolder, programArgs } from './where.ts'

/**
 * The practice day: Ellery County's plan (or another), a clock that runs at its speed, and the simulator, which
 * is a program of its own and speaks only the devices' link. A new day's morning is played quickly; a day that
 * was begun goes on where it stood.
 */
export type Practice = {
  day: string
  links: { desk: string; rover: string; supervisor: string }
  /** A new tablet's enrolment: for trying the precinct page. */
  precinctCode: string
  token: string
  deviceKeys: Record<string, string>
  stop(): Promise<void>
}

/** What a restart must find again. `morningUntil`: the instant up to which the morning is still to be played. */
type Kept = {
  day: string
  token: string
  deviceKeys: Record<string, string>
  morningUntil?: number | undefined
}

const CAST: Record<'desk' | 'rover' | 'supervisor', Person> = {
  desk: { id: 'practice-desk', name: 'Imre', role: 'desk' },
  rover: { id: 'practice-rover', name: 'Ana', role: 'rover' },
  supervisor: { id: 'practice-supervisor', name: 'Runa', role: 'supervisor' },
}
const LINK_VALID_MS = 12 * 60 * MINUTE
const SPARES = 4
/** Day seconds per second while the morning is played: four hours in a quarter of a minute. */
const MORNING_SPEED = 900
const SAVE_CLOCK_MS = 2_000
/** Where a new day is handed over, in minutes since midnight: polls open, the first troubles of the morning at hand. */
const FROM = 9 * 60 + 5

export async function preparePractice(
  sunup: Sunup,
  settings: Settings,
  wall: () => number,
): Promise<{ record: DayRecord; kept: Kept | null; live: LiveDay; plan: Plan }> {
  const folder = settings.demo.planFolder ?? join(checkoutFolder(), 'seed', 'ellery')
  const checked = readPlanFolder(folder)
  if ('faults' in checked)
    throw new Stop([`The plan in ${folder} has faults:`, ...checked.faults.map(faultLine)].join('\n'))
  const { plan } = checked
  if (plan.kind !== 'practice')
    throw new Stop(`The plan in ${folder} is of an election: the demo plays practice days only.`)
  const read = readKept<Kept>(join(settings.dataFolder, 'demo.json'))
  let record = read ? await sunup.days.get(read.day) : null
  // Keys of another database (one that was removed, or DATABASE_URL was changed) are of no use here.
  const kept = record && read && (await sunup.access.personOfToken(read.token)) ? read : null
  record ??= await keepDay(sunup.days, plan, planHash(plan), wall(), settings.demo.seed)
  // The clock was saved a moment before the last entries: the day never goes back behind its log.
  const stoodAt = Math.max(
    record.clockAt ?? practiceStart(plan),
    (await sunup.log.head(record.id)).recordedAt,
  )
  const clock = practiceClock(wall, stoodAt, settings.demo.speed)
  const live = await sunup.startDay(record, clock)
  await live.begin(record.planHash)
  return { record, kept, live, plan: live.plan }
}

export async function startPractice(
  sunup: Sunup,
  settings: Settings,
  prepared: Awaited<ReturnType<typeof preparePractice>>,
  url: string,
  progress: Progress,
): Promise<Practice> {
  const { record, live, plan } = prepared
  for (const person of Object.values(CAST)) await sunup.access.addPerson(person)
  const keptAt = join(settings.dataFolder, 'demo.json')
  const simulatorState = join(settings.dataFolder, 'simulator.json')
  let { kept } = prepared
  if (!kept) {
    rmSync(simulatorState, { force: true })
    const from = settings.demo.from ?? FROM
    const morningUntil = instantOf(plan.date, '00:00', plan.timeZone) + from * MINUTE
    kept = { ...(await castAndSpares(sunup, record.id, plan)), morningUntil }
    keep(keptAt, kept)
  }
  if (!readKept(simulatorState)) {
    const precincts: Record<string, { code: string }> = {}
    for (const { code } of plan.precincts)
      precincts[code] = { code: await sunup.access.issueCode(record.id, code) }
    keep(simulatorState, precincts)
  }
  const simulator = startSimulator(
    url,
    settings.demo.planFolder,
    simulatorState,
    record.seed ?? settings.demo.seed,
  )
  // Also where the first start was cut short in the middle of its morning.
  if (kept.morningUntil !== undefined) {
    if (kept.morningUntil > live.now()) {
      progress(`playing the morning up to ${hhmmOf(kept.morningUntil, plan.timeZone)} …`)
      await playUntil(live, kept.morningUntil, simulator, progress)
    }
    kept = { ...kept, morningUntil: undefined }
    keep(keptAt, kept)
  }
  live.clock.setSpeed(settings.demo.speed)
  // The quick morning is over: who reports now means minutes of the day as it runs now.
  live.clock.forgetSpeeds()
  const saving = setInterval(() => {
    sunup.days.saveClock(record.id, live.now(), live.speed()).catch(() => {})
  }, SAVE_CLOCK_MS)

  const link = async (person: Person) =>
    `${url}/enter?key=${await sunup.access.makeLink(person, LINK_VALID_MS)}`
  return {
    day: record.id,
    links: {
      desk: await link(CAST.desk),
      rover: await link(CAST.rover),
      supervisor: await link(CAST.supervisor),
    },
    precinctCode: await sunup.access.issueCode(record.id, visited(plan)),
    token: kept.token,
    deviceKeys: kept.deviceKeys,
    stop: async () => {
      clearInterval(saving)
      await endChild(simulator)
    },
  }
}

/** Saltmarsh School's tablet dies in the morning: whoever tries the precinct page is its new tablet. */
function visited(plan: Plan): string {
  return (plan.precincts.find(p => p.code === 'saltmarsh-school') ?? plan.precincts[0])!.code
}

async function castAndSpares(sunup: Sunup, day: string, plan: Plan): Promise<Kept> {
  const deviceKeys: Record<string, string> = {}
  for (const { code } of plan.precincts.slice(-SPARES)) {
    const enrolled = await sunup.access.enrol(
      await sunup.access.issueCode(day, code),
      'spare device',
      '127.0.0.1',
    )
    if (!enrolled.ok) throw new Error(`the spare device of ${code} was not enrolled: ${enrolled.message}`)
    deviceKeys[code] = enrolled.key
  }
  return { day, token: await sunup.access.makeToken(CAST.supervisor), deviceKeys }
}

function startSimulator(url: string, planFolder: string | null, state: string, seed: number): ChildProcess {
  const plan = planFolder ?? join(checkoutFolder(), 'seed', 'ellery')
  const args = [
    ...programArgs('simulator.js', 'seed/simulator/run.ts'),
    '--url',
    url,
    '--plan',
    plan,
    '--state',
    state,
    '--seed',
    String(seed),
    '--stdin',
  ]
  return spawn(process.execPath, args, { stdio: ['pipe', 'pipe', 'inherit'] })
}

/** The day waits for its tablets; then its morning is played, as fast as they and the rules keep up. */
async function playUntil(
  live: LiveDay,
  until: number,
  simulator: ChildProcess,
  progress: Progress,
): Promise<void> {
  let ended = false
  let settled = 0
  simulator.once('exit', () => {
    ended = true
  })
  createInterface({ input: simulator.stdout! }).on('line', line => {
    const said = JSON.parse(line) as {
      settled?: number
      notEnrolled?: string
      waiting?: string
      why?: string
    }
    if (said.settled !== undefined) settled = said.settled
    if (said.why !== undefined) progress(`  the tablet of ${said.notEnrolled ?? said.waiting}: ${said.why}`)
  })
  live.clock.setSpeed(STILL)
  while (settled === 0 && !ended) await new Promise(resolve => setTimeout(resolve, 20))
  let told = performance.now()
  const from = live.now()
  await playQuickly({
    clock: live.clock,
    until,
    speed: MORNING_SPEED,
    doneBy: () => Math.min(settled, live.judgedAt()),
    ended: () => ended,
    onProgress: now => {
      if (performance.now() - told < 2_000) return
      told = performance.now()
      progress(`  ${Math.round((100 * (now - from)) / (until - from))} % of the morning`)
    },
  })
  if (ended) throw new Stop('The simulator ended before the morning was played; its last words stand above.')
}

async function endChild(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const ended = new Promise<void>(resolve => void child.once('exit', () => resolve()))
  child.kill('SIGTERM')
  const forced = setTimeout(() => child.kill('SIGKILL'), 3_000)
  await ended
  clearTimeout(forced)
}
