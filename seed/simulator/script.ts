import type { PrecinctKind } from '../../server/domain/log/kinds.ts'
import { indexOf, type PlanIndex, type PlannedIn } from '../../server/domain/plan/brief.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import type { Instant } from '../../server/domain/time.ts'
import { shareBy } from '../../server/domain/turnout/profile.ts'
import { closingOf } from './closing.ts'
import { type Crowd, type CrowdSetting, crowdOf } from './crowd.ts'
import { heartbeatFrom, type Says, type Tablet } from './heartbeat.ts'
import { countsOf, disturbancesOf, storyOf } from './midday.ts'
import { openingOf } from './opening.ts'
import { type Random, randomOf } from './random.ts'
import { effectsOf, type Order, type Sense, senseOf, type Unordered } from './trainer.ts'
import { clockOf, cutOff, story } from './troubles.ts'

/**
 * The practice day as a script: what every tablet says, and when. Drawn from one seed: the same plan, seed and orders
 * of a trainer give the same day, so a simulator that was killed goes on from what the office has.
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
  /** Changes a precinct's script from the order's instant on; not ok: it makes no sense then, and changes nothing. */
  order(order: Order): Sense
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

/** @param orders a trainer's, in their order (trainer.ts) */
export function practiceDay(plan: Plan, seed: number, orders: readonly Order[] = []): PracticeDay {
  const index = indexOf(plan, plan.date)
  const at = clockOf(plan)
  const gapped = new Set(cutOff(plan))
  const played = new Map<string, Played>()
  const precincts = new Map<string, PrecinctScript>()
  const given = [...orders]

  const playAnew = (code: string, planned: PlannedIn) => {
    const mine = given.filter(o => o.precinct === code)
    const fresh = playPrecinct(code, planned, index, seed, at, gapped, mine)
    played.set(code, fresh)
    precincts.set(code, fresh.script)
  }
  for (const [code, planned] of index.precincts) playAnew(code, planned)
  return {
    precincts,
    heartbeatAt(precinct, when) {
      const of = played.get(precinct)
      const heartbeats = of?.script.heartbeats
      if (!of || !heartbeats || when < heartbeats.from || when >= heartbeats.until) return null
      return heartbeatFrom(of.script.facts, of.tablet, when)
    },
    order(order) {
      const planned = index.precincts.get(order.precinct)
      const of = played.get(order.precinct)
      if (!planned || !of)
        return { ok: false, path: 'precinct', message: 'there is no such precinct in this day’s plan' }
      const mine = given.filter(o => o.precinct === order.precinct)
      const sense = senseOf(of.unordered, mine, { crowd: of.crowd, until: of.script.heartbeats.until }, order)
      if (!sense.ok) return sense
      given.push(order)
      playAnew(order.precinct, planned)
      return sense
    },
  }
}

type Played = { script: PrecinctScript; tablet: Tablet; unordered: Unordered; crowd: Crowd }

function playPrecinct(
  code: string,
  planned: PlannedIn,
  index: PlanIndex,
  seed: number,
  at: Playing['at'],
  gapped: ReadonlySet<string>,
  orders: readonly Order[],
): Played {
  const random = randomOf(seed, code)
  const { brief, plan } = index
  const disturbed = disturbancesOf({ code, at, index, planned })
  const playing: Playing = { code, planned, index, random, at, outages: disturbed.outages }
  const opening = openingOf(playing)
  const { expected, ballots, stations } = planned.precinct
  const turnout = code === story.ballotsLow.precinct ? story.ballotsLow.turnout : random.between(...TURNOUT)
  const crowdWith = (more: Partial<CrowdSetting> & { random: Random }) =>
    crowdOf({
      ...disturbed,
      tabulators: planned.tabulators,
      opensAt: brief.opensAt,
      closesAt: brief.closesAt,
      openedAt: opening.openedAt,
      arrivedBy: when => expected * turnout * shareBy(brief.profile, brief.midnight, when),
      ballots,
      stations,
      minutesPerVoter: plan.policy.checkInMinutes * (code === story.longLine.precinct ? 1 : BRISK),
      ...more,
    })
  const diesAt = code === story.tabletDies.precinct ? at(story.tabletDies.at) : null
  const gaps: Gap[] = []
  if (gapped.has(code)) gaps.push({ from: at(story.networkGap.from), to: at(story.networkGap.to) })
  if (diesAt !== null) gaps.push({ from: diesAt, to: null })

  const unordered: Unordered = {
    playing,
    openedAt: opening.openedAt,
    switchedOnAt: opening.switchedOnAt,
    gaps,
    facts: [...opening.facts, ...storyOf(playing, null)],
    disturbed,
  }
  const effects = effectsOf(unordered, orders)
  const { machines } = effects
  // The day without orders draws first, so that what is drawn after the crowd is the same, whatever was ordered.
  const chance = random.fork()
  const usual = crowdWith({ random })
  const crowd =
    orders.length === 0
      ? usual
      : crowdWith({
          random: chance,
          outages: machines.outages,
          feeds: machines.feeds,
          trainer: effects.trouble,
        })
  const now: Playing = { ...playing, outages: machines.outages }
  const counts = countsOf(now, crowd, opening.openedAt)
  const closing = closingOf(now, crowd, machines.slotOpen)
  const facts = [
    ...[...opening.facts, ...storyOf(now, crowd)].filter(fact => !effects.dropped(fact)),
    ...counts,
    ...effects.facts(crowd),
    ...closing.facts,
  ]
  // A stable sort: what is said at one instant stays in the order of the scenes.
  facts.sort((a, b) => a.at - b.at)
  const emptyAt = effects.revived ? null : diesAt
  return {
    script: {
      facts: emptyAt === null ? facts : facts.filter(f => f.at < emptyAt),
      heartbeats: { from: opening.switchedOnAt, until: emptyAt ?? closing.departedAt },
      gaps: effects.gaps,
    },
    tablet: { switchedOnAt: opening.switchedOnAt, emptyAt },
    unordered,
    crowd,
  }
}
