import type { z } from 'zod'
import type { Role } from '../roles.ts'

/** One thing that can be asked over HTTP, as the specification and its tests need it. */
export type Operation = {
  method: 'GET' | 'POST'
  /** `/api/v1/days/:day/board`: the very pattern of the route. */
  pattern: string
  /** Its name in the specification. */
  id: string
  title: string
  /** What more is to be known, in a sentence or two. */
  words?: string
  group: 'devices' | 'days' | 'setup' | 'people' | 'this'
  who: 'anyone' | ReadonlyArray<'device' | Role>
  query?: z.ZodObject
  body?: z.ZodType
  /** What is answered when it went well. */
  answer: z.ZodType
  /** Other statuses than 400, 401, 403 and 429, which every guarded operation may give. */
  more?: Readonly<Record<number, string>>
  example: Example
}

/**
 * An example that the tests run against Ellery County's practice day, and an answer of the form that it gets.
 * `$NAME` stands for something that only a running server knows (a fresh code, the day's id, an errand).
 */
export type Example = {
  path?: Readonly<Record<string, string>>
  query?: Readonly<Record<string, string>>
  body?: unknown
  /** Where the example is one of a refusal. */
  status?: number
  answer: unknown
}

/** Names in a pattern that stand for one part of a path. */
export function pathNames(pattern: string): string[] {
  return [...pattern.matchAll(/:(\w+)/g)].map(found => found[1]!)
}
