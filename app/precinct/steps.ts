import type { DevicePlan } from '../../server/protocol/device.ts'
import { type PageState, standsNow } from './pageState.ts'
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
    const waitsFor = all.filter(
      s => step.after.includes(s.code) && !page.stepsDone.has(s.code) && !isWaitingForOffice(s, plan, page),
    )
    if (page.stepsDone.has(step.code)) list.done.push(step)
    else if (waitsFor.length === 0) list.doable.push(step)
    else list.later.push({ step, waitsFor })
  }
  return list
}

/**
 * Whether everything of it was looked at and something is wrong: it is not done before the office says so, and keeps
 * nothing else waiting (another tabulator's tape, the ballot box), since the polls open at their hour all the same.
 */
function isWaitingForOffice(step: PlanStep, plan: DevicePlan, page: PageState): boolean {
  if (step.completedBy === 'seals') return plan.containers.every(c => page.seals.has(c))
  if (step.completedBy !== 'tape' || step.phase !== 'opening') return false
  return plan.tabulators.every(t => Object.hasOwn(page.tapes, standsNow(t.tag, page.replaced)))
}
