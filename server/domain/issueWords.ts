import type { z } from 'zod'

const TYPES: Record<string, string> = {
  string: 'text in quotation marks',
  number: 'a number without quotation marks',
  int: 'a whole number',
  boolean: 'true or false, without quotation marks',
  object: 'an object in braces { }',
  record: 'an object in braces { }',
  array: 'a list in brackets [ ]',
  null: 'null',
}

const FORMATS: Record<string, string> = {
  date: 'a date that there is, as YYYY-MM-DD',
  datetime: 'a time with its offset, as 2026-11-03T06:30:00-05:00',
  email: 'an e-mail address',
  base64: 'bytes in base64',
  url: 'an address of the web, with https://',
  uuid: 'a UUID, as 7c9e6679-7425-40de-944b-e07fc1f90ae7',
}

/** An issue of a schema, finished or about to be: what `issueWords` looks at. */
type Issue = z.core.$ZodIssue | z.core.$ZodRawIssue

/** An issue of a schema in words that say what would do; what the schema itself says of it stands. */
export function issueWords(issue: Issue, value: unknown): string {
  const empty = value === undefined || value === '' || value === null
  switch (issue.code) {
    case 'invalid_type':
      return empty ? 'must be given' : (TYPES[issue.expected] ?? `a ${issue.expected}`)
    case 'too_small':
      if (issue.origin === 'string') return empty ? 'must be given' : `at least ${issue.minimum} characters`
      if (issue.origin === 'array') return `at least ${issue.minimum}`
      return issue.inclusive === false ? `more than ${issue.minimum}` : `at least ${issue.minimum}`
    case 'too_big':
      if (issue.origin === 'string') return `at most ${issue.maximum} characters`
      return issue.inclusive === false ? `less than ${issue.maximum}` : `at most ${issue.maximum}`
    case 'invalid_value':
      if (issue.values.length === 1)
        return `must be ${String(issue.values[0])}${typeof value === 'string' ? ', without quotation marks' : ''}`
      return `${empty ? 'must be given: ' : ''}one of ${issue.values.join(', ')}`
    case 'unrecognized_keys':
      return `unknown: ${issue.keys.join(', ')}`
    case 'invalid_format':
      if (empty) return 'must be given'
      return issue.format === 'date' || issue.message === undefined
        ? (FORMATS[issue.format] ?? 'not of the form that is asked for')
        : issue.message
    case 'invalid_key':
      return `a name of: ${issue.issues[0]?.message ?? 'another form'}`
    default:
      return issue.message ?? 'none of the forms that this may have'
  }
}

/**
 * What was found instead, as an end of `issueWords`: its type or its length, or '' where the path alone tells. Never the
 * words themselves: a refusal is kept and shown, and what was typed may name somebody.
 */
export function insteadOf(issue: Issue, value: unknown): string {
  if (value === undefined || value === null || value === '') return ''
  if (issue.code === 'invalid_type') return issue.expected === 'int' ? '' : `, not ${typeWords(value)}`
  if (issue.code !== 'too_big' && issue.code !== 'too_small') return ''
  return typeof value === 'string' || Array.isArray(value) ? `, not ${value.length}` : ''
}

function typeWords(value: unknown): string {
  if (Array.isArray(value)) return 'a list'
  if (typeof value === 'string') return 'text'
  return typeof value === 'object' ? 'an object' : typeof value === 'number' ? 'a number' : String(value)
}
