import type { PlanIndex, PlannedIn } from '../plan/brief.ts'
import type { Step } from '../plan/plan.ts'
import type { Instant } from '../time.ts'
import { expectedBy } from '../turnout/expected.ts'
import { barsOf } from './bars.ts'
import { compareReasons } from './callList.ts'
import type { BoardRow, Figure, Strip } from './row.ts'
import { spansOf } from './spans.ts'
import { outstandingInSlot, standingOf } from './standing.ts'
import type { PrecinctState, Register } from './state.ts'
import { chainOf, tapeOfAll } from './steps.ts'

/** Of a strip's signs and stretches the latest: a thumb's breadth of paper holds no more. */
const STRIP_LIMITS = { spans: 14, marks: 12 } as const

/** The row of a precinct of the plan: a pure function of its state, so it may be kept as long as the state is the same. */
export function rowOf(p: PrecinctState, index: PlanIndex): BoardRow {
  const planned = index.precincts.get(p.code)
  if (!planned) throw new Error(`the plan has no precinct ${p.code}`)
  const { counts, device } = p
  return {
    code: p.code,
    standing: standingOf(p, index),
    heardAt: p.heardAt,
    silentSince: p.silentSince,
    openedAt: p.openedAt,
    closedAt: p.closedAt,
    suspended: p.polls?.is === 'suspended',
    opening: { done: countDone(p, planned.opening), of: planned.opening.length, next: nextStep(p, planned) },
    closing: { done: countDone(p, planned.closing), of: planned.closing.length },
    team: p.team && {
      present: p.team.is.present,
      missing: p.team.is.missing.reduce((sum, m) => sum + m.howMany, 0),
      asOf: p.team.asOf,
    },
    tape: tapeOfAll(p, planned),
    checkedIn: figure(counts.checkedIn),
    expectedThen: counts.checkedIn
      ? Math.round(expectedBy(index.brief, planned.precinct.expected, counts.checkedIn.asOf))
      : null,
    publicCount: publicCountOf(p),
    inLine: figure(counts.inLine),
    inSlot: inSlotOf(p),
    ballotsLeft: figure(counts.ballotsLeft),
    spoiled: figure(counts.spoiled),
    provisional: figure(counts.provisional),
    curbside: figure(counts.curbside),
    slotOpen: p.slot?.is === 'open',
    down: downNow(p),
    device: device && {
      id: device.id,
      battery: device.battery,
      charging: device.charging,
      waiting: device.waiting,
      skewSeconds: device.skewSeconds,
    },
    strip: stripOf(p, planned, index),
    reasons: Object.values(p.reasons).sort(compareReasons),
    call: p.call,
    departedAt: p.departed?.asOf ?? null,
    receivedAt: p.received?.asOf ?? null,
    touchedAt: p.touchedAt,
  }
}

function figure(register: Register<number> | undefined): Figure | null {
  return register ? { is: register.is, asOf: register.asOf } : null
}

function countDone(p: PrecinctState, steps: readonly Step[]): number {
  let done = 0
  for (const step of steps) if (Object.hasOwn(p.steps, step.code)) done++
  return done
}

/** The first opening step in the plan's order that isn't done while all that it needs is. */
function nextStep(p: PrecinctState, { opening }: PlannedIn): string | null {
  const open = new Set<string>()
  for (const step of opening) if (!Object.hasOwn(p.steps, step.code)) open.add(step.code)
  for (const step of opening)
    if (open.has(step.code) && !step.after.some(code => open.has(code))) return step.code
  return null
}

/**
 * Sheets through all tabulators. It was so when the oldest of their counts was taken, those aside that are out
 * of use and count no more.
 */
function publicCountOf(p: PrecinctState): Figure | null {
  let is = 0
  let asOf: Instant | null = null
  let last: Instant | null = null
  for (const [tag, count] of Object.entries(p.publicCounts)) {
    is += count.is
    if (last === null || count.asOf > last) last = count.asOf
    if (chainOf(p, tag).length > 1) continue
    if (asOf === null || count.asOf < asOf) asOf = count.asOf
  }
  const at = asOf ?? last
  return at === null ? null : { is, asOf: at }
}

/** As of the count, or of the last feed after it. */
function inSlotOf(p: PrecinctState): Figure | null {
  const is = outstandingInSlot(p)
  const count = p.counts.inSlot
  if (is === null || !count) return null
  return { is, asOf: p.feeds.at(-1)?.asOf ?? count.asOf }
}

function downNow(p: PrecinctState): string[] {
  const tags: string[] = []
  for (const tag in p.down) if (p.down[tag]!.is.down) tags.push(tag)
  return tags.sort()
}

function stripOf(p: PrecinctState, planned: PlannedIn, index: PlanIndex): Strip {
  const notches: Instant[] = []
  for (const step of planned.opening) {
    const at = p.steps[step.code]
    if (at !== undefined) notches.push(at)
  }
  notches.sort((a, b) => a - b)
  const first = notches[0] ?? null
  const team = p.team?.asOf ?? null
  return {
    setUpFrom: first === null || (team !== null && team < first) ? team : first,
    notches,
    bars: barsOf(p, index.brief),
    spans: spansOf(p, planned).slice(-STRIP_LIMITS.spans),
    marks: p.marks.slice(-STRIP_LIMITS.marks).map(m => [m.what, m.at] as const),
  }
}
