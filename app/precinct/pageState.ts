import type { Standing } from '../../server/domain/day/state.ts'
import type { CountName } from '../../server/domain/log/fields.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { downNow, foldSaid, type Said, type SaidValue, saidAtAll, saidSince } from '../live/deviceSaid.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { chainHere, type SealWorkHere } from './custodyHere.ts'
import { type PlanStep, stepsOf } from './planSteps.ts'

/**
 * How the precinct stands as this page knows it: what the office has (`plan.has`), changed by what this device
 * said since, so that another tablet goes on where the one before it stopped.
 */
export type PageState = {
  polls: 'not-open' | 'open' | 'suspended' | 'closed'
  /** By the same table as on the board (server/domain/day/standing.ts). */
  standing: Standing
  /** Tag of a machine → tag of the one that stands in its place. */
  replaced: Readonly<Record<string, string>>
  teamHere: { present: number; missing: number } | null
  stepsDone: ReadonlySet<string>
  /** Steps of which this device said that two people confirmed them. */
  byTwo: ReadonlySet<string>
  /** By tabulator tag. */
  tapes: Readonly<Record<string, 'verified' | 'rejected'>>
  /** Containers whose seal was recorded, and those whose seal is wrong now: different, broken or missing. */
  seals: ReadonlySet<string>
  sealTrouble: readonly string[]
  /** All that was done with seals, the office's first. */
  sealWork: readonly SealWorkHere[]
  slotOpen: boolean
  /** Ballots that should be in the slot; null: never used or not known. */
  inSlot: number | null
  down: readonly string[]
  counts: Readonly<Partial<Record<CountName, LastValue>>>
  publicCount: Readonly<Record<string, LastValue>>
  /** RFC 3339, device clock; null: not said by this device. `slotAt`: the slot was spoken of. */
  countedAt: string | null
  slotAt: string | null
  lineAt: string | null
  lastVoter: boolean
  closingTapes: ReadonlySet<string>
  reconciled: boolean
  placeMoved: boolean
  departed: boolean
  /** What left, as this device said it; null where the office has it from somebody else. */
  left: Said['departed']
  /** Positions of the notices that this device said were read. */
  noticesRead: ReadonlySet<number>
  received: boolean
}

/** `at` is null where the office has the value from somebody else. */
export type LastValue = { is: number; at: string | null }

/**
 * @param planAt Wall time in ms at which the plan reached this device.
 * @param heard The office has heard this device, ever.
 */
export function pageStateOf(
  plan: DevicePlan,
  planAt: number,
  reports: readonly KeptReport[],
  heard = true,
): PageState {
  const own = foldSaid(saidAtAll(reports))
  const since = foldSaid(saidSince(reports, planAt))
  const { has } = plan
  const tapes: PageState['tapes'] = {
    ...(has.tapes as Record<string, 'verified' | 'rejected'>),
    ...mapValues(since.tapes, t => t.is.is),
  }
  const seals = new Set([...has.seals, ...Object.keys(since.seals)])
  const polls = since.polls?.is ?? has.polls
  const departed = has.departed || since.departed !== null
  const replaced = { ...has.replaced, ...since.replaced }
  const teamHere = teamNow(plan, since)
  const closingTapes = new Set([...has.closingTapes, ...Object.keys(since.closingTapes)])
  const tabulators = plan.tabulators.map(t => standsNow(t.tag, replaced))
  const stepsDone = new Set([...has.steps, ...Object.keys(since.steps)])
  const sealWork = sealWorkNow(plan, since)
  const sealTrouble = sealTroubleNow(plan, sealWork, since)
  for (const step of plan.steps) {
    if (step.completedBy === 'team' && teamHere) stepsDone.add(step.code)
    if (step.completedBy === 'seals') {
      // What is done with seals once the polls are open takes the morning's step not back.
      if (polls === 'not-open' && plan.containers.some(c => sealTrouble.includes(c)))
        stepsDone.delete(step.code)
      else if (all(plan.containers, c => seals.has(c))) stepsDone.add(step.code)
    }
    if (step.completedBy === 'tape' && step.phase === 'opening') {
      if (tabulators.some(t => tapes[t] === 'rejected')) stepsDone.delete(step.code)
      else if (all(tabulators, t => tapes[t] === 'verified')) stepsDone.add(step.code)
    }
    if (step.completedBy === 'tape' && step.phase === 'closing' && all(tabulators, t => closingTapes.has(t)))
      stepsDone.add(step.code)
  }
  return {
    polls,
    standing: standingNow(plan, polls, departed, stepsDone, heard || reports.length > 0),
    replaced,
    teamHere,
    stepsDone,
    byTwo: new Set(own.byTwo),
    tapes,
    seals,
    sealTrouble,
    sealWork,
    slotOpen: since.slot ? since.slot.is === 'open' : has.slotOpen,
    inSlot: inSlotNow(has.inSlot, since),
    down: downNow(has.down, since),
    counts: {
      ...mapValues(own.counts as Record<string, SaidValue<number>>, v => ({ is: v.is, at: v.at })),
      ...officeCounts(has, own, since),
    },
    publicCount: {
      ...mapValues(own.publicCount, v => ({ is: v.is, at: v.at })),
      ...officeWhere(has.publicCount, own.publicCount, since.publicCount),
    },
    countedAt: own.countedAt,
    slotAt: own.slotAt,
    lineAt: own.lineAt,
    lastVoter: own.lastVoter !== null,
    closingTapes,
    reconciled: has.reconciled || since.reconciled !== null,
    placeMoved: has.placeMoved || since.placeMoved !== null,
    departed,
    left: own.departed,
    noticesRead: new Set(own.noticesRead),
    received: received(plan),
  }
}

const received = ({ has }: DevicePlan) => has.received || has.standing === 'received'

function teamNow({ has }: DevicePlan, since: Said): PageState['teamHere'] {
  const team = since.team?.is
  return team
    ? { present: team.present, missing: team.missing.reduce((sum, m) => sum + m.howMany, 0) }
    : has.team
}

function sealWorkNow({ has }: DevicePlan, since: Said): SealWorkHere[] {
  return [
    ...has.sealWork.map(one => ({ ...one, here: false })),
    ...since.sealWork.map(one => ({ ...one, here: true })),
  ]
}

/** The office's word stands until this device works on the container again. */
function sealTroubleNow(plan: DevicePlan, work: readonly SealWorkHere[], since: Said): string[] {
  const touched = new Set(since.sealWork.map(one => one.container))
  return [
    ...plan.has.sealsWrong.filter(container => !touched.has(container)),
    ...[...touched].filter(container => chainHere(plan, work, container).wrong !== null),
  ]
}

function standingNow(
  plan: DevicePlan,
  polls: PageState['polls'],
  departed: boolean,
  done: ReadonlySet<string>,
  heard: boolean,
): Standing {
  if (received(plan)) return 'received'
  if (departed) return 'returning'
  const allDone = (phase: PlanStep['phase']) => stepsOf(plan, phase).every(s => done.has(s.code))
  if (polls === 'closed') return allDone('closing') ? 'closed' : 'closing'
  if (polls !== 'not-open') return 'open'
  if (!heard && plan.has.standing === 'not-heard') return 'not-heard'
  return allDone('opening') ? 'ready' : 'setting-up'
}

/** The tag that stands where a planned one stood. */
export function standsNow(tag: string, replaced: Readonly<Record<string, string>>): string {
  const seen = new Set([tag])
  let now = tag
  for (let next = replaced[now]; next !== undefined && !seen.has(next); next = replaced[now]) {
    seen.add(next)
    now = next
  }
  return now
}

const OFFICE_COUNTS = [
  'checkedIn',
  'ballotsLeft',
  'spoiled',
  'provisional',
  'curbside',
  'inLine',
] as const satisfies readonly CountName[]

function officeCounts(has: DevicePlan['has'], own: Said, since: Said): Record<string, LastValue> {
  const known = OFFICE_COUNTS.flatMap(name => {
    const is = has[name]
    return is === null ? [] : [[name, is] as const]
  })
  return officeWhere(Object.fromEntries(known), own.counts, since.counts)
}

/** Where the office's figure isn't the one this device said, the office's is the newer news, unless more was said since. */
function officeWhere(
  has: Readonly<Record<string, number>>,
  own: Readonly<Partial<Record<string, SaidValue<number>>>>,
  since: Readonly<Partial<Record<string, SaidValue<number>>>>,
): Record<string, LastValue> {
  const newer = Object.entries(has).filter(([name, is]) => !since[name] && own[name]?.is !== is)
  return Object.fromEntries(newer.map(([name, is]) => [name, { is, at: null }]))
}

/** The office's figure is what remains; what was said since either counts it anew or takes ballots out. */
function inSlotNow(has: number | null, since: Said): number | null {
  const counted = since.counts.inSlot
  const base = counted ? counted.is : has
  if (base === null) return null
  const from = counted ? Date.parse(counted.at) : Number.NEGATIVE_INFINITY
  const taken = since.taken.filter(t => Date.parse(t.at) >= from).reduce((sum, t) => sum + t.is, 0)
  return Math.max(0, base - taken)
}

function all<T>(list: readonly T[], test: (item: T) => boolean): boolean {
  return list.length > 0 && list.every(test)
}

function mapValues<A, B>(record: Readonly<Record<string, A>>, change: (value: A) => B): Record<string, B> {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, change(value)]))
}
