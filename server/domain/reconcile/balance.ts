import type { PrecinctState } from '../day/state.ts'
import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { Instant } from '../time.ts'
import { bandOf } from './band.ts'
import { type Cast, castOf } from './cast.ts'
import { type Flow, flowOf } from './flow.ts'

/**
 * The two identities of a precinct's counts, while people vote and after:
 *
 *     ballots used (delivered − left) = tabulated + in the slot + provisional + spoiled + challenged
 *     voters checked in = tabulated + in the slot + provisional, where the roster counts them
 *
 * Whoever has a ballot and hasn't cast it is on the left side only. Curbside voters are checked in, and their
 * ballots go the way of all others: they are no term of their own. Challenged ballots are said at closing only, and
 * so are those that left with a voter: during the day both are missing on the right.
 */
export type Balance = {
  /** Null: a count that it needs was never said, or the ballots aren't tabulated here. */
  ballots: Difference | null
  voters: Difference | null
}

export type Difference = {
  left: Part
  /** In ballots; `asOf` null: nothing of it can have been, so nobody was asked. */
  right: readonly Part[]
  /** Left less right, in ballots or voters; not whole where a sheet of several is under way. */
  difference: number
  /** What people who are still voting, and counts taken at different minutes, explain: low ≤ high. */
  low: number
  high: number
  /** 0 within the band, else the signed distance to its nearer end: above 0 something is missing on the right. */
  unexplained: number
  /** The oldest count used. */
  at: Instant
}

type Part = {
  what: 'used' | 'checked-in' | 'tabulated' | 'in-slot' | 'provisional' | 'spoiled'
  is: number
  asOf: Instant | null
}

/**
 * Neither more ballots delivered nor ballots taken away are recorded yet: in the first identity the former are too many
 * on the right, the latter missing there; `worstApart` takes from it only what is missing.
 *
 * Whether the roster counts provisional voters differs between counties and isn't in the plan: of the two readings the
 * one that balances better stands, the roster that doesn't count them where both do.
 */
export function balanceOf(p: PrecinctState, planned: PlannedIn, index: PlanIndex): Balance {
  const flow = flowOf(p, planned, index)
  const cast = flow && castOf(p, planned)
  if (!flow || !cast) return { ballots: null, voters: null }
  const { checkedIn, ballotsLeft, provisional, spoiled } = p.counts
  const out = provisional && aside('provisional', provisional)
  const bad = spoiled && aside('spoiled', spoiled)
  const still = { cast, flow, minutes: minutesOfVoting(planned, index) }
  let ballots: Difference | null = null
  if (ballotsLeft && out && bad) {
    const used = {
      what: 'used' as const,
      is: planned.precinct.ballots - ballotsLeft.is,
      asOf: ballotsLeft.asOf,
    }
    ballots = differenceOf(used, [out, bad], still)
  }
  let voters: Difference | null = null
  if (checkedIn) {
    const came = { what: 'checked-in' as const, is: checkedIn.is, asOf: checkedIn.asOf }
    voters = differenceOf(came, [], still)
    const counted = out && out.is > 0 ? differenceOf(came, [out], still) : voters
    if (Math.abs(counted.unexplained) < Math.abs(voters.unexplained)) voters = counted
  }
  return { ballots, voters }
}

/**
 * Of a balance the difference that is further from being explained than the tolerance (policy's, in ballots or
 * voters, ≥ 0); null: none is. Of the ballots only those missing on the right: too many there are as likely a delivery.
 */
export function worstApart(
  { ballots, voters }: Balance,
  tolerance: number,
): { of: 'ballots' | 'voters'; difference: Difference } | null {
  const missing = ballots?.unexplained ?? 0
  const off = Math.abs(voters?.unexplained ?? 0)
  if (ballots && missing > tolerance && missing >= off) return { of: 'ballots', difference: ballots }
  return voters && off > tolerance ? { of: 'voters', difference: voters } : null
}

function aside(
  what: 'provisional' | 'spoiled',
  { is, asOf }: { is: number; asOf: Instant },
): Part & { asOf: Instant } {
  return { what, is, asOf }
}

/** Minutes from the ballot to its last sheet in the tabulator, as the policy has them. */
function minutesOfVoting(planned: PlannedIn, { plan }: PlanIndex): number {
  const { markMinutes, tabulateSeconds } = plan.policy
  return markMinutes + ((planned.precinct.sheets ?? 1) * tabulateSeconds) / 60
}

type Voting = { cast: Cast; flow: Flow; minutes: number }

function differenceOf(
  left: Part & { asOf: Instant },
  others: readonly (Part & { asOf: Instant })[],
  { cast, flow, minutes }: Voting,
): Difference {
  const right: Part[] = [
    { what: 'tabulated', ...cast.tabulated },
    { what: 'in-slot', ...cast.inSlot },
    ...others,
  ]
  let difference = left.is
  let at = left.asOf
  for (const part of right) {
    difference -= part.is
    if (part.asOf !== null) at = Math.min(at, part.asOf)
  }
  const { low, high } = bandOf(left.asOf, others, cast, flow, minutes)
  const unexplained = difference > high ? difference - high : difference < low ? difference - low : 0
  return { left, right, difference, low, high, unexplained, at }
}
