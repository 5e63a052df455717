import { isOutOfUse } from '../calls/equipment.ts'
import { spansOf } from '../day/spans.ts'
import type { PrecinctState, Register } from '../day/state.ts'
import { tabulatorsNow, tapeOfAll } from '../day/steps.ts'
import { tripOf } from '../dispatch/travel.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { NetworkStep } from '../readiness/network.ts'
import { heardToday } from '../silence/silence.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import type { DayInput, PrecinctInput } from './input.ts'

/** From the state of a day to what forecasts are made from (input.ts). */

type Networks = { lists: NetworkStep[][]; ofSteps: ReadonlyMap<readonly unknown[], number> }
const networks = new WeakMap<PlanIndex, Networks>()

/** The different lists of opening steps of a plan: few, however many precincts. Made once for each plan. */
function networksOf(index: PlanIndex): Networks {
  const known = networks.get(index)
  if (known) return known
  const lists: NetworkStep[][] = []
  const places = new Map<string, number>()
  const ofSteps = new Map<readonly unknown[], number>()
  for (const { opening } of index.precincts.values()) {
    const codes = opening.map(s => s.code).join(' ')
    let place = places.get(codes)
    if (place === undefined) {
      place = lists.length
      places.set(codes, place)
      lists.push(
        opening.map(({ code, phase, after, medianMinutes, p90Minutes }) => ({
          code,
          phase,
          after,
          medianMinutes,
          p90Minutes,
        })),
      )
    }
    ofSteps.set(opening, place)
  }
  const made = { lists, ofSteps }
  networks.set(index, made)
  return made
}

/** What of the plan every precinct's forecast needs, for an instant. */
export function gatherDay(index: PlanIndex, at: Instant): DayInput {
  const { midnight, reportAt, opensAt, closesAt, profile } = index.brief
  const { policy } = index.plan
  return {
    at,
    midnight,
    reportAt,
    opensAt,
    closesAt,
    profile,
    policy: {
      checkInMinutes: policy.checkInMinutes,
      markMinutes: policy.markMinutes,
      tabulateSeconds: policy.tabulateSeconds,
      longLineMinutes: policy.longLineMinutes,
      countEveryMinutes: policy.countEveryMinutes,
      ballotsMargin: policy.ballotsMargin,
      ballotsChance: policy.ballotsChance,
      horizonMinutes: policy.horizonMinutes,
      unknown: policy.unknown,
    },
    networks: networksOf(index).lists,
  }
}

/**
 * What one precinct said and the plan says of it, as far as forecasts need it. Counts, lines, the history of stations
 * and the ballots left are taken as of `at`; the rest is as it stands in the state, however it is dated.
 */
export function gatherPrecinct(
  p: PrecinctState,
  planned: PlannedIn,
  index: PlanIndex,
  at: Instant,
): PrecinctInput {
  const { precinct } = planned
  const left = p.counts.ballotsLeft
  const here = tabulatorsNow(p, planned)
  return {
    code: p.code,
    expected: precinct.expected,
    everyone: precinct.serves === 'everyone',
    opening: opening(p, planned, index),
    openedAt: p.openedAt,
    closed: p.polls?.is === 'closed' || p.departed !== null || p.received !== null,
    silent: p.silentSince !== null,
    suspended: spansOf(p, planned)
      .filter(s => s.what === 'suspended')
      .map(({ from, to }) => ({ from, to })),
    counts: inOrder(p.curve, at),
    lines: inOrder(p.lines, at),
    lineOf: planned.sharesLine?.[0] ?? null,
    stations: {
      planned: precinct.stations,
      working: p.stationsWorking?.is ?? precinct.stations,
      asOf: p.stationsWorking?.asOf ?? null,
      history: inOrder(p.stationsSaid, at),
    },
    booths: precinct.booths,
    tabulators: {
      all: here.length,
      working: here.filter(tag => !isOutOfUse(p, tag)).length,
      asOf: p.heardAt,
    },
    unscanned: p.slot?.is === 'open' || here.length === 0,
    sheets: precinct.sheets ?? 1,
    ballots: left && left.asOf <= at ? { left: left.is, at: left.asOf } : null,
    styles: planned.styles,
    tripMinutes: index.depot && tripOf(index.depot, planned.place, index.plan.policy.travel).ms / MINUTE,
  }
}

function opening(p: PrecinctState, planned: PlannedIn, index: PlanIndex): PrecinctInput['opening'] {
  const began = p.openedAt !== null || p.polls?.is === 'open' || p.polls?.is === 'closed'
  if (began || tapeOfAll(p, planned) === 'rejected' || heardToday(p, index) === null) return null
  return { network: networksOf(index).ofSteps.get(planned.opening)!, done: p.steps }
}

/** The registers of quarter hours by their own instants. */
function inOrder(
  quarters: Readonly<Record<number, Register<number>>>,
  at: Instant,
): Array<{ at: Instant; is: number }> {
  const list: Array<{ at: Instant; is: number }> = []
  for (const q in quarters) {
    const { asOf, is } = quarters[q]!
    if (asOf <= at) list.push({ at: asOf, is })
  }
  return list.sort((a, b) => a.at - b.at)
}
