import type { DevicePlan } from '../../server/protocol/device.ts'
import type { twoBody } from './asking/question.ts'
import type { Words } from './words/catalogue.ts'

export type PlanStep = DevicePlan['steps'][number]

/** The steps of one phase that apply here: one about tapes or seals that this precinct has none of doesn't. */
export function stepsOf(plan: DevicePlan, phase: PlanStep['phase']): PlanStep[] {
  return plan.steps.filter(s => s.phase === phase && applies(s, plan))
}

function applies(step: PlanStep, plan: DevicePlan): boolean {
  if (step.completedBy === 'tape') return plan.tabulators.length > 0
  if (step.completedBy === 'seals') return plan.containers.length > 0
  return true
}

/** A step's title in the page's language: the plan's, else what the step of its guide is usually called. */
export function stepTitle(step: PlanStep, { language, stepTitles }: Words): string {
  if (language.tag !== 'es') return step.title
  return step.titleEs ?? (step.guide ? stepTitles[step.guide] : step.title)
}

/**
 * The screen on which a step is said. Some follow from another report; and a plan that calls a step
 * `last-voter` or `reconcile` means those reports, which then say the step as well.
 */
export function screenOfStep(step: PlanStep): string {
  const said = `flow/step/${encodeURIComponent(step.code)}`
  if (step.completedBy === 'team') return 'flow/team'
  if (step.completedBy === 'seals') return 'seals'
  if (step.completedBy === 'tape') return step.phase === 'opening' ? 'tapes' : 'closing-tapes'
  return SAID_WITH[step.code] ?? said
}

const SAID_WITH: Record<string, string> = { 'last-voter': 'flow/last-voter', reconcile: 'reconcile' }

/** The report of a step that is said together with another one; empty where the plan has no such step. */
export function alsoStep(
  plan: DevicePlan,
  code: 'last-voter' | 'reconcile',
  two: ReturnType<typeof twoBody> | null = null,
) {
  const step = plan.steps.find(s => s.code === code && s.completedBy === 'step')
  return step ? [{ kind: 'StepCompleted' as const, body: { step: code, ...two } }] : []
}
