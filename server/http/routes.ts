import type { IncomingMessage } from 'node:http'
import type { Answer } from './answer.ts'
import type { Caller, Who } from './caller.ts'

export type Asked = {
  request: IncomingMessage
  /** Parts of the path that the pattern names, decoded. */
  params: Readonly<Record<string, string>>
  query: URLSearchParams
  /** Null only where `who` is 'anyone'. */
  caller: Caller | null
  address: string
  /** The JSON body, unchecked; undefined for routes that take none. */
  body: unknown
}

export type Route = {
  method: 'GET' | 'POST'
  /** `/api/v1/days/:day/board`: each `:name` stands for one part of the path. */
  pattern: string
  who: Who
  /** POST only: bytes of JSON that are read (standard: HTTP_LIMITS.bodyBytes), or 'none': the route reads it itself. */
  body?: number | 'none'
  /** Milliseconds in which the body must be in; standard: HTTP_LIMITS.bodyMs. */
  bodyMs?: number
  handle(asked: Asked): Promise<Answer> | Answer
}

export type Found =
  | { found: 'route'; route: Route; params: Record<string, string> }
  | { found: 'other-method'; allow: string[] }
  | { found: 'nothing' }

/** The route of a path (without query). HEAD counts as GET. A part that can't be decoded matches nothing. */
export function findRoute(routes: readonly Route[], method: string, path: string): Found {
  const parts = path.split('/')
  const allow = new Set<string>()
  for (const route of routes) {
    const params = match(route.pattern, parts)
    if (params === null) continue
    if (route.method === method || (route.method === 'GET' && method === 'HEAD'))
      return { found: 'route', route, params }
    allow.add(route.method)
  }
  return allow.size > 0 ? { found: 'other-method', allow: [...allow] } : { found: 'nothing' }
}

function match(pattern: string, parts: readonly string[]): Record<string, string> | null {
  const wanted = pattern.split('/')
  if (wanted.length !== parts.length) return null
  const params: Record<string, string> = {}
  for (let i = 0; i < wanted.length; i++) {
    const want = wanted[i]!
    const part = parts[i]!
    if (!want.startsWith(':')) {
      if (want !== part) return null
    } else {
      const value = decode(part)
      if (value === null || value === '') return null
      params[want.slice(1)] = value
    }
  }
  return params
}

function decode(part: string): string | null {
  try {
    return decodeURIComponent(part)
  } catch {
    return null
  }
}
