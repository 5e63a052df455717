import type { Plan } from './plan.ts'

function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (typeof value !== 'object' || value === null) return value
  const fields = Object.entries(value).filter(([, v]) => v !== undefined)
  fields.sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
  return Object.fromEntries(fields.map(([k, v]) => [k, sorted(v)]))
}

/**
 * The plan as one text that is the same for the same plan: JSON with the keys of every object in code-unit
 * order, no spaces, and what is not given left out. The order of rows is part of the plan. The SHA-256 of its
 * UTF-8 bytes pins the plan in DayOpened.
 */
export function canonicalPlan(plan: Plan): string {
  return JSON.stringify(sorted(plan))
}
