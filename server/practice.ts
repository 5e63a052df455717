import { existsSync, renameSync } from 'node:fs'
import { join } from 'node:path'
import type { Person } from './access/access.ts'
import { planHash, readPlanFolder } from './cli/planFiles.ts'
import type { Sunup } from './compose.ts'
import { practiceFiles } from './dayKeeperFiles.ts'
import { faultLine } from './domain/plan/checkFault.ts'
import type { Plan } from './domain/plan/plan.ts'
import { hhmmOf } from './domain/plan/zone.ts'
import { keep, readKept } from './keptFile.ts'
import { keepPlan } from './openDay.ts'
import { type Progress, Stop } from './progress.ts'
import type { Settings } from './settings.ts'
import { checkoutFolder } from './where.ts'

/**
 * The demo: Ellery County's practice day (or another plan's), practised by the day keeper with all its tablets
 * simulated, and what a visitor needs to look at it: links, a tablet's code, a token.
 */
export type Practice = {
  day: string
  links: Record<Cast, string>
  /** A new tablet's enrolment: for trying the precinct page. */
  precinctCode: string
  token: string
  deviceKeys: Record<string, string>
}
type Cast = 'desk' | 'rover' | 'supervisor' | 'receiving' | 'admin'

/** What a restart must find again. `morningUntil` was kept here by 0.1. */
type Kept = {
  day: string
  token: string
  deviceKeys: Record<string, string>
  morningUntil?: number | undefined
}

const LINK_VALID_MS = 12 * 60 * 60 * 1_000
const SPARES = 4
/** Where a new day is handed over: polls open, the first troubles of the morning at hand. */
const FROM = '09:05'

export type Prepared = { day: string; kept: Kept | null; plan: Plan }

/** The day, practised: its tablets begin to speak when the server listens. */
export async function preparePractice(sunup: Sunup, settings: Settings): Promise<Prepared> {
  const { dataFolder, demo } = settings
  const folder = demo.planFolder ?? join(checkoutFolder(), 'seed', 'ellery')
  const checked = readPlanFolder(folder)
  if ('faults' in checked)
    throw new Stop([`The plan in ${folder} has faults:`, ...checked.faults.map(faultLine)].join('\n'))
  const { plan } = checked
  if (plan.kind !== 'practice')
    throw new Stop(`The plan in ${folder} is of an election: the demo plays practice days only.`)
  const read = readKept<Kept>(demoFile(dataFolder))
  const there = read ? await sunup.days.get(read.day) : null
  // Keys of another database (one that was removed, or DATABASE_URL was changed) are of no use here.
  const known = there !== null && read !== null && (await sunup.access.personOfToken(read.token)) !== null
  // A day that was closed stands: its plan is practised anew, on a day of its own.
  const kept = known && there.closedAt === null ? read : null
  if (kept) adopt(dataFolder, kept)
  const day = kept?.day ?? (await dayFor(sunup, plan, demo.seed))
  const begun = await sunup.days.begun(day)
  const from = demo.from === null ? FROM : hhmm(demo.from)
  const done = await sunup.keeper.practise(day, {
    speed: demo.speed,
    seed: demo.seed,
    simulated: true,
    ...(begun ? {} : { from }),
  })
  if (!done.ok) throw new Stop(`${day} can't be practised: ${done.problems.map(p => p.message).join('; ')}.`)
  return { day, kept, plan: await sunup.days.get(day).then(d => sunup.days.plan(d!.planHash)) }
}

export async function startPractice(
  sunup: Sunup,
  settings: Settings,
  prepared: Prepared,
  url: string,
  progress: Progress,
): Promise<Practice> {
  const { day, plan } = prepared
  const cast = castOf(plan)
  for (const person of Object.values(cast)) await sunup.access.addPerson(person)
  let { kept } = prepared
  if (!kept) {
    kept = await tokenAndSpares(sunup, day, plan, cast.supervisor)
    keep(demoFile(settings.dataFolder), kept)
  }
  const until = (await sunup.keeper.list()).find(d => d.id === day)?.morningUntil ?? null
  if (until !== null) {
    progress(`playing the morning up to ${hhmmOf(Date.parse(until), plan.timeZone)} …`)
    sunup.keeper.onMorning((of, percent) => {
      if (of === day) progress(`  ${percent} % of the morning`)
    })
  }
  await sunup.keeper.ready(day)

  const link = async (person: Person) =>
    `${url}/enter?key=${await sunup.access.makeLink(person, LINK_VALID_MS)}`
  return {
    day,
    links: {
      desk: await link(cast.desk),
      rover: await link(cast.rover),
      supervisor: await link(cast.supervisor),
      receiving: await link(cast.receiving),
      admin: await link(cast.admin),
    },
    precinctCode: await sunup.access.issueCode(day, visited(plan)),
    token: kept.token,
    deviceKeys: kept.deviceKeys,
  }
}

const demoFile = (dataFolder: string) => join(dataFolder, 'demo.json')

/** What 0.1 kept of its one practice day, brought to where each day has files of its own. */
function adopt(dataFolder: string, kept: Kept): void {
  const old = join(dataFolder, 'simulator.json')
  const files = practiceFiles(dataFolder, kept.day)
  if (files.hasTablets() || !existsSync(old)) return
  files.keepCodes({})
  renameSync(old, files.tablets)
  if (kept.morningUntil !== undefined) files.keepMorning(kept.morningUntil)
}

async function dayFor(sunup: Sunup, plan: Plan, seed: number): Promise<string> {
  const keeping = await keepPlan(sunup.days, plan, planHash(plan), null, seed)
  if (keeping.ok) return keeping.id
  throw new Stop(
    `The demo can't begin: ${keeping.message}. Set SUNUP_DATA to another folder, or close that day.`,
  )
}

const hhmm = (minutes: number) =>
  `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`

/** Invented people, one of each role; the rover is the plan's first. */
function castOf(plan: Plan): Record<Cast, Person> {
  const rover = plan.rovers[0]
  return {
    desk: { id: 'practice-desk', name: 'Imre', role: 'desk' },
    rover: { id: 'practice-rover', name: rover?.name ?? 'Ana', role: 'rover', post: rover?.code ?? null },
    supervisor: { id: 'practice-supervisor', name: 'Runa', role: 'supervisor' },
    receiving: {
      id: 'practice-receiving',
      name: 'Pell',
      role: 'receiving',
      post: plan.receiving?.[0] ?? null,
    },
    admin: { id: 'practice-admin', name: 'Odile', role: 'admin' },
  }
}

/** Saltmarsh School's tablet dies in the morning: whoever tries the precinct page is its new tablet. */
function visited(plan: Plan): string {
  return (plan.precincts.find(p => p.code === 'saltmarsh-school') ?? plan.precincts[0])!.code
}

async function tokenAndSpares(sunup: Sunup, day: string, plan: Plan, speaksAs: Person): Promise<Kept> {
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
  return { day, token: await sunup.access.makeToken(speaksAs), deviceKeys }
}
