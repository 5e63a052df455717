import type { PrecinctState } from '../day/state.ts'
import { countQuantiles } from '../numbers/counts.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { MINUTE } from '../time.ts'
import { arrivals } from '../turnout/expected.ts'
import { type Count, soundCounts } from '../turnout/sound.ts'

/**
 * How many voters passed through a precinct between two counts: what explains that counts taken at different
 * minutes, or while people vote, don't add up.
 */
export type Flow = {
  /** Voters checked in by an instant (not rounded), ≥ 0, never falling: between counts along a straight line. */
  came(at: Instant): number
  /** Coefficient of variation of what isn't counted. */
  unsure: number
  /** Voters whose minute isn't known: between an instant and the count nearest to it, ≥ 0. */
  loose(at: Instant): number
  /** Everybody had cast by then; null: not said. */
  castAt: Instant | null
}

/** A throughput is taken from counts at least this far apart: nearer ones say mostly chance. */
const APART = 15 * MINUTE
/** Chance that is left outside on either side of a band: one in a thousand. */
const OUTSIDE = 0.001

/**
 * From the running counts of voters checked in (those that can all be true), of the last two the throughput that
 * goes on after them; without two counts what the plan expects. Null before voting began.
 */
export function flowOf(p: PrecinctState, planned: PlannedIn, index: PlanIndex): Flow | null {
  const { openedAt } = p
  if (openedAt === null) return null
  const counts: Count[] = []
  for (const q in p.curve)
    if (p.curve[q]!.asOf > openedAt) counts.push({ at: p.curve[q]!.asOf, is: p.curve[q]!.is })
  counts.sort((a, b) => a.at - b.at)
  const points = [{ at: openedAt, is: 0 }, ...soundCounts(counts, Number.POSITIVE_INFINITY, openedAt).sound]
  const last = points.at(-1)!
  const before = points.findLast(c => c.at <= last.at - APART)
  const { brief, plan } = index
  const rate = before
    ? ((last.is - before.is) * MINUTE) / (last.at - before.at)
    : arrivals(brief, planned.precinct.expected, brief.opensAt, brief.closesAt) /
      ((brief.closesAt - brief.opensAt) / MINUTE)
  const castAt = castAtOf(p)
  const came = (at: Instant) => {
    if (at <= openedAt) return 0
    if (at >= last.at) return last.is + (rate * (until(at, castAt, last.at) - last.at)) / MINUTE
    const next = points.findIndex(c => c.at > at)
    const [a, b] = [points[next - 1]!, points[next]!]
    return a.is + ((b.is - a.is) * (at - a.at)) / (b.at - a.at)
  }
  const loose = (at: Instant) => {
    if (at <= openedAt) return 0
    const is = came(at)
    let nearest = Number.POSITIVE_INFINITY
    for (const c of points) nearest = Math.min(nearest, Math.abs(is - c.is))
    return nearest
  }
  return { came, unsure: plan.policy.unknown.profile, loose, castAt }
}

/** Nobody is checked in after everybody has cast. */
function until(at: Instant, castAt: Instant | null, from: Instant): Instant {
  return castAt === null ? at : Math.max(from, Math.min(at, castAt))
}

/** After closing: the line was said to be empty (the last voter was served), or a closing tape was signed. */
function castAtOf(p: PrecinctState): Instant | null {
  const { closedAt } = p
  if (closedAt === null) return null
  let at = Number.POSITIVE_INFINITY
  const line = p.counts.inLine
  if (line?.is === 0 && line.asOf > closedAt) at = line.asOf
  for (const tag in p.closingTapes) at = Math.min(at, p.closingTapes[tag]!.asOf)
  if (p.reconciled) at = Math.min(at, p.reconciled.asOf)
  return Number.isFinite(at) ? Math.max(at, closedAt) : null
}

/** How far a number of voters that should be `mean` may lie below and above it by chance; both ≥ 0. */
export function chanceAbout(mean: number, unsure: number): { below: number; above: number } {
  if (!(mean > 0)) return { below: 0, above: 0 }
  const spread = { mean, extraVariance: (unsure * mean) ** 2 }
  const [low, high] = countQuantiles(spread, [OUTSIDE, 1 - OUTSIDE])
  return { below: Math.max(0, mean - low!), above: Math.max(0, high! - mean) }
}
