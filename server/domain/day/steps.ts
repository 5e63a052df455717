import { chainIn } from '../custody/custody.ts'
import type { PlannedIn } from '../plan/brief.ts'
import type { Step } from '../plan/plan.ts'
import type { Instant } from '../time.ts'
import { own } from './bounded.ts'
import { earliest } from './stamp.ts'
import type { PrecinctState } from './state.ts'

/**
 * The steps done: those somebody said, and those that follow from other reports. Worked out anew whenever one
 * of these changes, so it is the same whatever came first.
 *
 * - `seals`: every container's seal that is there in the morning was recorded: at the last one's first recording. While
 *   one of them is wrong (custody/chain.ts) the step is not done, whoever said so; what is done with seals after the
 *   polls opened takes nothing back.
 * - `tape` (opening): every planned tabulator, or one that replaced it, has a tape that stands as verified: at
 *   the last one's first verification. A rejection takes the step back.
 * - `tape` (closing): every planned tabulator, or one that replaced it, has a signed closing tape.
 */
export function deriveSteps(p: PrecinctState, planned: PlannedIn) {
  const steps: Record<string, Instant> = { ...p.stepsSaid }
  const add = (step: Step, at: Instant | null) => {
    if (at !== null) steps[step.code] = earliest(steps[step.code], at)
  }
  for (const step of planned.opening) {
    if (step.completedBy === 'seals') {
      if (anySealWrong(p, planned)) delete steps[step.code]
      else add(step, sealsAt(p, planned))
    } else if (step.completedBy === 'tape') {
      if (anyTapeRejected(p, planned)) delete steps[step.code]
      else add(step, tapesAt(p, planned, verifiedAt))
    }
  }
  for (const step of planned.closing)
    if (step.completedBy === 'tape') add(step, tapesAt(p, planned, signedAt))
  p.steps = steps
}

function anySealWrong(p: PrecinctState, planned: PlannedIn): boolean {
  const { openedAt } = p
  const sealWork = openedAt === null ? p.sealWork : p.sealWork.filter(work => work.asOf <= openedAt)
  const worked = new Set(sealWork.map(work => work.container))
  return planned.openingSeals.some(c => worked.has(c) && chainIn({ sealWork }, planned, c).wrong !== null)
}

function sealsAt(p: PrecinctState, planned: PlannedIn): Instant | null {
  let last: Instant | null = null
  for (const container of planned.openingSeals) {
    const finding = own(p.seals, container)
    if (!finding) return null
    if (last === null || finding.firstAt > last) last = finding.firstAt
  }
  return last
}

function tapesAt(
  p: PrecinctState,
  planned: PlannedIn,
  doneAt: (p: PrecinctState, tag: string) => Instant | null,
): Instant | null {
  let last: Instant | null = null
  for (const tag of planned.tabulators) {
    let first: Instant | null = null
    for (const one of chainOf(p, tag)) {
      const at = doneAt(p, one)
      if (at !== null) first = earliest(first, at)
    }
    if (first === null) return null
    if (last === null || first > last) last = first
  }
  return last
}

const verifiedAt = (p: PrecinctState, tag: string) => {
  const tape = own(p.tapes, tag)
  return tape?.is.is === 'verified' ? tape.verifiedAt : null
}
const signedAt = (p: PrecinctState, tag: string) => own(p.closingTapes, tag)?.asOf ?? null

/** A planned tabulator's tag and those that took its place, one after the other. */
export function chainOf(p: PrecinctState, tag: string): readonly string[] {
  let next = own(p.replaced, tag)
  if (next === undefined) return [tag]
  const chain = [tag]
  while (next !== undefined && !chain.includes(next)) {
    chain.push(next)
    next = own(p.replaced, next)
  }
  return chain
}

/** Tags of the tabulators that stand in the precinct now. */
export function tabulatorsNow(p: PrecinctState, planned: PlannedIn): readonly string[] {
  return planned.tabulators.map(tag => chainOf(p, tag).at(-1)!)
}

function anyTapeRejected(p: PrecinctState, planned: PlannedIn): boolean {
  return tabulatorsNow(p, planned).some(tag => own(p.tapes, tag)?.is.is === 'rejected')
}

/** `rejected` while any tabulator that stands there has a rejected tape; `verified` when all have a verified one. */
export function tapeOfAll(p: PrecinctState, planned: PlannedIn): 'none' | 'verified' | 'rejected' {
  if (anyTapeRejected(p, planned)) return 'rejected'
  return tapesAt(p, planned, verifiedAt) === null ? 'none' : 'verified'
}
