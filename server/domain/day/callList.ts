import type { PlanIndex } from '../plan/brief.ts'
import { type Instant, MINUTE } from '../time.ts'
import { IDLE } from './initial.ts'
import type { CallLine } from './row.ts'
import type { CallState, DayState, PrecinctState, Reason } from './state.ts'
import { compareTiers, higherTier } from './tiers.ts'

/** So many fallen silent within so long is one cause: a network, not as many tablets (an assumption). */
const TOGETHER = { precincts: 4, within: 5 * MINUTE } as const
/** Reasons that a line of many precincts carries, the gravest; each precinct's row carries its own. */
const SHARED_REASONS = 20

/**
 * The call list: standing reasons, a line for each precinct.
 *
 * - Silent precincts that a standing `silent-together` names are one line; of the others four or more that fell silent
 *   within five minutes are. A precinct of theirs with a graver reason has a line of its own too, for all but its
 *   silence; lesser reasons stand on the shared line. Of two such causes the graver has the precincts that both name.
 * - A line has the tier of its gravest reason and stands since the first reason of that tier. Its voter-minutes
 *   are the largest of a precinct's reasons (they concern the same voters), summed over precincts.
 * - Order: what is of the county alone; then tier, voter-minutes (most first), since, key. Lines that step back
 *   (taken, deferred, being watched) come after all others, in the same order.
 */
export function callList(state: DayState, index: PlanIndex, now: Instant): CallLine[] {
  const lines: CallLine[] = []
  const standing: PrecinctState[] = []
  for (const { code } of index.plan.precincts) {
    const p = state.precincts.get(code)
    if (p && hasAny(p.reasons)) standing.push(p)
  }
  const shared = new Set<string>()
  const share = (group: readonly Silent[], causes: readonly Reason[]) => {
    for (const { p } of group) shared.add(p.code)
    lines.push(sharedLine(group, causes, now))
  }
  const silent = silentOf(standing)
  const { groups, alone } = byCause(Object.values(state.reasons).sort(compareReasons), silent)
  for (const { group, causes } of groups) share(group, causes)
  for (const group of silentTogether(silent.filter(({ p }) => !shared.has(p.code)))) share(group, [])
  const county = alone.map(r => line(r.key, [], [r], r.voterMinutes, IDLE, now))
  for (const p of standing) {
    const reasons = Object.values(p.reasons)
    const own = shared.has(p.code) ? apart(reasons) : reasons
    if (own.length > 0) lines.push(line(p.code, [p.code], own, worst(own), p.call, now))
  }
  lines.sort(compareLines)
  return [...county, ...lines]
}

/** The first instant after `now` at which the list changes though nothing is recorded: a line comes back. */
export function callsHoldUntil(state: DayState, now: Instant): Instant {
  let until = Number.POSITIVE_INFINITY
  for (const p of state.precincts.values()) {
    const { backUntil } = p.call
    if (backUntil !== null && backUntil > now && backUntil < until) until = backUntil
  }
  return until
}

type Ranked = Pick<Reason, 'tier' | 'voterMinutes' | 'since' | 'key'>

/** Gravest first: tier, voter-minutes, since, key. */
export function compareReasons(a: Ranked, b: Ranked): number {
  return (
    compareTiers(a.tier, b.tier) ||
    b.voterMinutes - a.voterMinutes ||
    a.since - b.since ||
    (a.key < b.key ? -1 : a.key > b.key ? 1 : 0)
  )
}

function compareLines(a: CallLine, b: CallLine): number {
  if (a.steppedBack !== b.steppedBack) return a.steppedBack ? 1 : -1
  return compareReasons(a, b)
}

type Silent = { p: PrecinctState; silent: Reason }

function silentOf(standing: readonly PrecinctState[]): Silent[] {
  const all: Silent[] = []
  for (const p of standing) {
    const silent = Object.values(p.reasons).find(r => r.rule === 'silent')
    if (silent) all.push({ p, silent })
  }
  return all.sort((a, b) => a.silent.since - b.silent.since || (a.p.code < b.p.code ? -1 : 1))
}

type Caused = { group: readonly Silent[]; causes: Reason[] }

/**
 * Silent precincts by the county's reasons that name them, each by the first. A reason all of whose precincts have gone
 * to one before it stands on that one's line; one that names none that is silent stands alone.
 */
function byCause(
  county: readonly Reason[],
  silent: readonly Silent[],
): { groups: Caused[]; alone: readonly Reason[] } {
  const groups: Caused[] = []
  const alone: Reason[] = []
  const taken = new Map<string, Caused>()
  for (const reason of county) {
    const { precincts } = reason.evidence
    const named = reason.rule === 'silent-together' && Array.isArray(precincts) ? new Set(precincts) : null
    const here = named ? silent.filter(({ p }) => named.has(p.code)) : []
    const group = here.filter(({ p }) => !taken.has(p.code))
    if (group.length > 0) {
      const made = { group, causes: [reason] }
      for (const { p } of group) taken.set(p.code, made)
      groups.push(made)
    } else if (here.length > 0) taken.get(here[0]!.p.code)!.causes.push(reason)
    else alone.push(reason)
  }
  return { groups, alone }
}

/** Those in order of their silence that fell silent together, where no cause is known. */
function silentTogether(all: readonly Silent[]): Silent[][] {
  const groups: Silent[][] = []
  let i = 0
  while (i < all.length) {
    let end = i
    while (end < all.length && all[end]!.silent.since - all[i]!.silent.since <= TOGETHER.within) end++
    if (end - i >= TOGETHER.precincts) {
      groups.push(all.slice(i, end))
      i = end
    } else i++
  }
  return groups
}

/** The reasons that stand on a line of their own beside a shared silence: all others, if one is graver than it. */
function apart(reasons: readonly Reason[]): Reason[] {
  const silent = reasons.find(r => r.rule === 'silent')!
  const others = reasons.filter(r => r !== silent)
  return others.some(r => higherTier(r.tier, silent.tier)) ? others : []
}

function sharedLine(group: readonly Silent[], causes: readonly Reason[], now: Instant): CallLine {
  const reasons: Reason[] = [...causes]
  let voterMinutes = 0
  for (const { p, silent } of group) {
    const all = Object.values(p.reasons)
    const here = apart(all).length > 0 ? [silent] : all
    reasons.push(...here)
    voterMinutes += worst(here)
  }
  const precincts = group.map(({ p }) => p.code)
  const made = line(
    causes[0]?.key ?? `silent-together:${group[0]!.silent.since}`,
    precincts,
    reasons,
    voterMinutes,
    sharedCall(group),
    now,
  )
  const others = made.reasons.filter(r => !causes.includes(r))
  return { ...made, reasons: [...causes, ...others].slice(0, SHARED_REASONS) }
}

/** Taken where all are taken by the same person; back where all are, until the first returns. */
function sharedCall(group: readonly Silent[]): CallState {
  const calls = group.map(({ p }) => p.call)
  const first = calls[0]!
  if (calls.some(c => c.takenBy !== first.takenBy || (c.takenBy === null && c.backUntil === null)))
    return IDLE
  const back = calls.map(c => c.backUntil).filter(at => at !== null)
  return { ...first, backUntil: back.length === calls.length ? Math.min(...back) : null }
}

function line(
  key: string,
  precincts: readonly string[],
  reasons: readonly Reason[],
  voterMinutes: number,
  call: CallState,
  now: Instant,
): CallLine {
  const sorted = [...reasons].sort(compareReasons)
  const { tier } = sorted[0]!
  let since = sorted[0]!.since
  for (const r of sorted) if (r.tier === tier && r.since < since) since = r.since
  const steppedBack = call.takenBy !== null || (call.backUntil !== null && call.backUntil > now)
  return { key, precincts, tier, voterMinutes, since, reasons: sorted, call, steppedBack }
}

function worst(reasons: readonly Reason[]): number {
  let most = 0
  for (const r of reasons) if (r.voterMinutes > most) most = r.voterMinutes
  return most
}

function hasAny(reasons: Readonly<Record<string, Reason>>): boolean {
  for (const _ in reasons) return true
  return false
}
