import type { DevicePlan } from '../../server/protocol/device.ts'
import type { PageState } from './pageState.ts'

export type PlanStep = DevicePlan['steps'][number]

export type StepList = {
  done: PlanStep[]
  /** Not done, and everything that must come before is done. */
  doable: PlanStep[]
  later: Array<{ step: PlanStep; waitsFor: PlanStep[] }>
}

/** The steps of one phase in the plan's order. A step about tapes or seals that this precinct has none of is left out. */
export function stepList(plan: DevicePlan, page: PageState, phase: PlanStep['phase']): StepList {
  const list: StepList = { done: [], doable: [], later: [] }
  const applies = plan.steps.filter(s => hasReason(s, plan))
  for (const step of applies.filter(s => s.phase === phase)) {
    const waitsFor = applies.filter(s => step.after.includes(s.code) && !page.stepsDone.has(s.code))
    if (page.stepsDone.has(step.code)) list.done.push(step)
    else if (waitsFor.length === 0) list.doable.push(step)
    else list.later.push({ step, waitsFor })
  }
  return list
}

function hasReason(step: PlanStep, plan: DevicePlan): boolean {
  if (step.completedBy === 'tape') return plan.tabulators.length > 0
  if (step.completedBy === 'seals') return plan.containers.length > 0
  return true
}
