import type { z } from 'zod'

/** What is wrong with a plan folder, and where: enough to mend it without guessing. */
export type Fault = {
  file: string
  /** Line in the file, from 1; null where the fault is no single line's (a missing file, a sum, a field of plan.json). */
  line: number | null
  /** Name of the column, or the dotted path in plan.json; null where it is the whole line or file. */
  column: string | null
  /** What stands there now, shortened to 80 characters; '' where nothing does. */
  found: string
  /** What would do. */
  message: string
}

/** A value as it is shown to people in a fault. */
export function shown(value: unknown): string {
  if (value === undefined) return ''
  const text = typeof value === 'string' ? value : JSON.stringify(value)
  return text.length > 80 ? `${text.slice(0, 79)}…` : text
}

/** One line a fault, as a terminal or a page shows it: `precincts.csv:7 stations: found "none"; a whole number`. */
export function faultLine(fault: Fault): string {
  const where = fault.line === null ? fault.file : `${fault.file}:${fault.line}`
  const what = fault.column === null ? '' : ` ${fault.column}`
  const found = fault.found === '' ? '' : `found "${fault.found}"; `
  return `${where}${what}: ${found}${fault.message}`
}

/** The value at a path of a parsed document; undefined where there is none. */
export function valueAt(value: unknown, path: ReadonlyArray<PropertyKey>): unknown {
  let at = value
  for (const key of path) {
    if (typeof at !== 'object' || at === null) return undefined
    at = (at as Record<PropertyKey, unknown>)[key]
  }
  return at
}

/** An issue of the schema in words that say what would do. */
export function wordsOf(issue: z.core.$ZodIssue, value: unknown): string {
  const empty = value === undefined || value === '' || value === null
  switch (issue.code) {
    case 'invalid_type':
      if (empty) return 'must be given'
      if (issue.expected === 'int') return 'a whole number'
      return issue.expected === 'object' ? 'an object' : `a ${issue.expected}`
    case 'too_small':
      if (issue.origin === 'string') return empty ? 'must be given' : `at least ${issue.minimum} characters`
      if (issue.origin === 'array') return `at least ${issue.minimum}`
      return issue.inclusive === false ? `more than ${issue.minimum}` : `at least ${issue.minimum}`
    case 'too_big':
      if (issue.origin === 'string') return `at most ${issue.maximum} characters`
      return `at most ${issue.maximum}`
    case 'invalid_value':
      return issue.values.length === 1
        ? `must be ${String(issue.values[0])}`
        : `one of ${issue.values.join(', ')}`
    case 'unrecognized_keys':
      return `unknown: ${issue.keys.join(', ')}`
    case 'invalid_format':
      if (empty) return 'must be given'
      return issue.format === 'date' ? 'a date as YYYY-MM-DD' : issue.message
    default:
      return issue.message
  }
}
