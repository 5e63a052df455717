import type { IncomingMessage, ServerResponse } from 'node:http'

/** What a route gives back. */
export type Answer =
  | { status: number; json: unknown; headers?: Record<string, string | string[]> }
  | { status: number; text: string; type: string; headers?: Record<string, string | string[]> }

/** The one form of a refusal on HTTP: the same as on the sockets. `retryAfter` in milliseconds. */
export function refuse(
  status: number,
  message: string,
  more: { path?: string; retryAfter?: number; headers?: Record<string, string> } = {},
): Answer {
  const { path = '', retryAfter, headers } = more
  return {
    status,
    json: { ok: false, problems: [{ path, message }], ...(retryAfter === undefined ? {} : { retryAfter }) },
    headers: {
      ...headers,
      ...(retryAfter === undefined
        ? {}
        : { 'Retry-After': String(Math.max(1, Math.ceil(retryAfter / 1_000))) }),
    },
  }
}

/**
 * Sends an answer. Nothing of ours may be kept by a cache on the way. Where the request's body was not read to
 * its end the connection is closed, since the rest of it would be taken for the next request.
 */
export function send(request: IncomingMessage, response: ServerResponse, answer: Answer): void {
  if (response.headersSent || response.destroyed) return
  const text = 'json' in answer ? JSON.stringify(answer.json) : answer.text
  response.statusCode = answer.status
  response.setHeader('Cache-Control', 'no-store')
  response.setHeader('Content-Type', 'json' in answer ? 'application/json; charset=utf-8' : answer.type)
  response.setHeader('Content-Length', Buffer.byteLength(text))
  for (const [name, value] of Object.entries(answer.headers ?? {})) response.setHeader(name, value)
  if (!request.complete && hasBody(request)) response.setHeader('Connection', 'close')
  response.end(request.method === 'HEAD' ? undefined : text)
}

function hasBody(request: IncomingMessage): boolean {
  return (
    request.headers['transfer-encoding'] !== undefined || Number(request.headers['content-length'] ?? 0) > 0
  )
}
