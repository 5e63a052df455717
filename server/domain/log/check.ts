import { z } from 'zod'
import { insteadOf, issueWords } from '../issueWords.ts'
import type { Problems } from './dayLog.ts'
import type { Detail } from './entry.ts'
import { isPrecinctKind, kinds, type PrecinctKind } from './kinds.ts'

/**
 * Reads what came from outside: as `safeParse`, with what would do and what was found in our words, and never throws.
 * zod 4.6.7 does where a value has a `length` that no number can be made of (`{"length": {"toString": 1}}`): such a
 * message is refused like any other.
 */
export function readAs<S extends z.ZodType>(schema: S, value: unknown): z.ZodSafeParseResult<z.output<S>> {
  try {
    return schema.safeParse(value, {
      error: issue => issueWords(issue, issue.input) + insteadOf(issue, issue.input),
    })
  } catch {
    const error = new z.ZodError([
      { code: 'custom', path: [], message: 'this can’t be read', input: undefined },
    ]) as z.ZodError<z.output<S>>
    return { success: false, error }
  }
}

/** Problems of a zod error, one by one, each with the path of its field. */
export function problemsOf(error: z.ZodError, under = ''): Problems {
  return error.issues.slice(0, 20).map(issue => ({
    path: [under, ...issue.path.map(String)].filter(Boolean).join('.'),
    message: issue.message,
  }))
}

/** Checks kind and body of what a precinct says: the body as the log will hold it, or its problems. */
export function checkPrecinctReport(
  kind: string,
  body: unknown,
): { kind: PrecinctKind; body: Record<string, unknown> } | { problems: Problems } {
  if (!isPrecinctKind(kind) || kind === 'HeartbeatReceived')
    return { problems: [{ path: 'kind', message: `unknown kind ${JSON.stringify(kind.slice(0, 60))}` }] }
  const parsed = readAs<z.ZodType>(kinds[kind].body, body)
  if (!parsed.success) return { problems: problemsOf(parsed.error, 'body') }
  return { kind, body: parsed.data as Record<string, unknown> }
}

/** Takes the words that may have to be erased out of a body. */
export function partDetail(
  kind: PrecinctKind,
  body: Record<string, unknown>,
): { body: Record<string, unknown>; detail?: Detail } {
  const erasable: readonly string[] = kinds[kind].erasable
  if (erasable.length === 0) return { body }
  let detail: Detail | undefined
  const kept: Record<string, unknown> = {}
  for (const [field, value] of Object.entries(body)) {
    if (erasable.includes(field) && typeof value === 'string') {
      detail ??= {}
      detail[field] = value
    } else if (value !== undefined) kept[field] = value
  }
  return detail ? { body: kept, detail } : { body: kept }
}
