import type { PrecinctKind } from '../../server/domain/log/kinds.ts'
import { indexOf, type PlanIndex, type PlannedIn } from '../../server/domain/plan/brief.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import type { Instant } from '../../server/domain/time.ts'
import { shareBy } from '../../server/domain/turnout/profile.ts'
import { closingOf } from './closing.ts'
import { crowdOf } from './crowd.ts'
import { heartbeatFrom, type Says, type Tablet } from './heartbeat.ts'
import { countsOf, disturbancesOf, storyOf } from './midday.ts'
import { openingOf } from './opening.ts'
import { type Random, randomOf } from './random.ts'
import { clockOf, cutOff, story } from './troubles.ts'

/**
 * The practice day as a script: what every tablet says, and when. Pure and drawn from one seed: the same plan
 * and seed give the same day, so a simulator that was killed goes on from what the office has.
 */
export type Fact = {
  /** Day time, whole seconds. Facts of a precinct are in this order; their numbers are 1, 2, 3 … in it. */
  at: Instant
  kind: Exclude<PrecinctKind, 'HeartbeatReceived'>
  body: Record<string, unknown>
}

export type Gap = { from: Instant /** null: for good. */; to: Instant | null }

export type PrecinctScript = {
  facts: readonly Fact[]
  /** Heartbeats go out from when the tablet is switched on until it is packed for the return, or dead. */
  heartbeats: { from: Instant; until: Instant }
  /** No link to the office: reports wait in the outbox. */
  gaps: readonly Gap[]
}

export type PracticeDay = {
  precincts: ReadonlyMap<string, PrecinctScript>
  /** What a tablet says is so; null while it is off. Times in day time. */
  heartbeatAt(precinct: string, at: Instant): Says | null
}

/** One precinct's part, as the scenes of the day are given it. */
export type Playing = {
  code: string
  planned: PlannedIn
  index: PlanIndex
  random: Random
  at: (hhmm: string) => Instant
  outages: ReadonlyArray<{ tabulator: string; from: Instant; to: Instant }>
}

/** Voters who come against those expected: a day is never as planned (our assumption, ± 6%). */
const TURNOUT = [0.94, 1.06] as const
/** Voters are checked in a little faster than the policy's usual minutes, except where the line is long. */
const BRISK = 0.87

export function practiceDay(plan: Plan, seed: number): PracticeDay {
  const index = indexOf(plan, plan.date)
  const at = clockOf(plan)
  const gapped = new Set(cutOff(plan))
  const precincts = new Map<string, PrecinctScript>()
  const tablets = new Map<string, Tablet>()
  for (const [code, planned] of index.precincts) {
    const played = playPrecinct(code, planned, index, seed, at)
    const diesAt = code === story.tabletDies.precinct ? at(story.tabletDies.at) : null
    const gaps: Gap[] = []
    if (gapped.has(code)) gaps.push({ from: at(story.networkGap.from), to: at(story.networkGap.to) })
    if (diesAt !== null) gaps.push({ from: diesAt, to: null })
    precincts.set(code, {
      facts: diesAt === null ? played.facts : played.facts.filter(f => f.at < diesAt),
      heartbeats: { from: played.switchedOnAt, until: diesAt ?? played.departedAt },
      gaps,
    })
    tablets.set(code, { switchedOnAt: played.switchedOnAt, emptyAt: diesAt })
  }
  return {
    precincts,
    heartbeatAt(precinct, when) {
      const script = precincts.get(precinct)
      const tablet = tablets.get(precinct)
      if (!script || !tablet || when < script.heartbeats.from || when >= script.heartbeats.until) return null
      return heartbeatFrom(script.facts, tablet, when)
    },
  }
}

function playPrecinct(code: string, planned: PlannedIn, index: PlanIndex, seed: number, at: Playing['at']) {
  const random = randomOf(seed, code)
  const { brief, plan } = index
  const disturbed = disturbancesOf({ code, at, index, planned })
  const playing: Playing = { code, planned, index, random, at, outages: disturbed.outages }
  const opening = openingOf(playing)
  const { expected, ballots, stations } = planned.precinct
  const turnout = code === story.ballotsLow.precinct ? story.ballotsLow.turnout : random.between(...TURNOUT)
  const crowd = crowdOf({
    ...disturbed,
    random,
    tabulators: planned.tabulators,
    opensAt: brief.opensAt,
    closesAt: brief.closesAt,
    openedAt: opening.openedAt,
    arrivedBy: when => expected * turnout * shareBy(brief.profile, brief.midnight, when),
    ballots,
    stations,
    minutesPerVoter: plan.policy.checkInMinutes * (code === story.longLine.precinct ? 1 : BRISK),
  })
  const closing = closingOf(playing, crowd)
  const facts = [
    ...opening.facts,
    ...storyOf(playing, crowd),
    ...countsOf(playing, crowd, opening.openedAt),
    ...closing.facts,
  ]
  // A stable sort: what is said at one instant stays in the order of the scenes.
  facts.sort((a, b) => a.at - b.at)
  return { facts, switchedOnAt: opening.switchedOnAt, departedAt: closing.departedAt }
}
