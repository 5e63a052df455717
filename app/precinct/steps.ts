import type { DevicePlan } from '../../server/protocol/device.ts'
import type { PageState } from './pageState.ts'
import { type PlanStep, stepsOf } from './planSteps.ts'

export type StepList = {
  done: PlanStep[]
  /** Not done, and everything that must come before is done. */
  doable: PlanStep[]
  later: Array<{ step: PlanStep; waitsFor: PlanStep[] }>
}

/** The steps of one phase in the plan's order, by whether they can be done now. */
export function stepList(plan: DevicePlan, page: PageState, phase: PlanStep['phase']): StepList {
  const list: StepList = { done: [], doable: [], later: [] }
  const all = [...stepsOf(plan, 'opening'), ...stepsOf(plan, 'closing')]
  for (const step of stepsOf(plan, phase)) {
    const waitsFor = all.filter(s => step.after.includes(s.code) && !page.stepsDone.has(s.code))
    if (page.stepsDone.has(step.code)) list.done.push(step)
    else if (waitsFor.length === 0) list.doable.push(step)
    else list.later.push({ step, waitsFor })
  }
  return list
}
