import { asyncapi } from '../protocol/api/asyncapi.ts'
import { openapi } from '../protocol/api/openapi.ts'
import { operations } from '../protocol/api/operations.ts'
import type { Route } from './routes.ts'

/** The specifications, made from the schemas when they are first asked for. They tell nothing about a day. */
export function specRoutes(version: string): Route[] {
  let http: unknown
  let sockets: unknown
  return [
    {
      method: 'GET',
      pattern: '/api/v1/openapi.json',
      who: 'anyone',
      handle: () => {
        http ??= openapi(operations, version)
        return { status: 200, json: http }
      },
    },
    {
      method: 'GET',
      pattern: '/api/v1/asyncapi.json',
      who: 'anyone',
      handle: () => {
        sockets ??= asyncapi(version)
        return { status: 200, json: sockets }
      },
    },
  ]
}
