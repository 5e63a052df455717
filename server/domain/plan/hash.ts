import type { Plan } from './plan.ts'
import { policy as policySchema } from './policy.ts'

/** Settings of the policy that plans were kept and pinned without, before there were any. */
const LATER_SETTINGS = [
  'markMinutes',
  'tabulateSeconds',
  'unknown',
  'lateOpeningChance',
  'lateOpeningEndChance',
  'lineGrowingChance',
  'lineGrowingEndChance',
  'ballotsChance',
  'ballotsEndChance',
  'countTolerance',
  'precinctPage',
] as const satisfies ReadonlyArray<keyof Plan['policy']>
const LATER_RULES = [
  'line-growing',
  'count-doubtful',
  'counts-apart',
  'not-reconciled',
  'silent-together',
  'place-moved',
  'kept-aside',
] as const satisfies ReadonlyArray<keyof Plan['policy']['rules']>
const standard = policySchema.parse({})

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (typeof value !== 'object' || value === null) return value
  const fields = Object.entries(value).filter(([, v]) => v !== undefined)
  fields.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
  return Object.fromEntries(fields.map(([k, v]) => [k, sorted(v)]))
}

const textOf = (value: unknown) => JSON.stringify(sorted(value))

/** The policy without later settings that stand at their standard value. */
function asBefore(policy: Plan['policy']): unknown {
  const without = <T extends object>(of: T, standards: T, names: ReadonlyArray<keyof T>): Partial<T> => {
    const left: Partial<T> = { ...of }
    for (const name of names) if (textOf(of[name]) === textOf(standards[name])) delete left[name]
    return left
  }
  return {
    ...without(policy, standard, LATER_SETTINGS),
    rules: without(policy.rules, standard.rules, LATER_RULES),
  }
}

/**
 * The plan as one text that is the same for the same plan: JSON with the keys of every object in code-unit
 * order, no spaces, and what is not given left out. The order of rows is part of the plan. The SHA-256 of its
 * UTF-8 bytes pins the plan in DayOpened; so a plan that says nothing of what came later keeps its hash.
 */
export function canonicalPlan(plan: Plan): string {
  return textOf({ ...plan, policy: asBefore(plan.policy) })
}
