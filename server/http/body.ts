import type { IncomingMessage } from 'node:http'
import { type Answer, refuse } from './answer.ts'
import { HTTP_LIMITS } from './limits.ts'

export type Read<T> = { ok: true; value: T } | { ok: false; answer: Answer }

let reading = 0
let readingLarge = 0

/**
 * The JSON body of a request, unchecked beyond being JSON.
 * 415: other content type, or compressed. 413: longer than `bytes`. 408: not in within `ms`. 400: not JSON, or
 * not UTF-8, or cut off. 503: too many bodies at once.
 */
export async function readJson(request: IncomingMessage, bytes: number, ms: number): Promise<Read<unknown>> {
  if (!isType(request, 'application/json'))
    return { ok: false, answer: refuse(415, 'The body must be JSON (Content-Type: application/json).') }
  const read = await readText(request, bytes, ms)
  if (!read.ok) return read
  try {
    return { ok: true, value: JSON.parse(read.value) }
  } catch {
    return { ok: false, answer: refuse(400, 'The body is not JSON.') }
  }
}

/** A form of a page of ours. */
export async function readForm(request: IncomingMessage): Promise<Read<URLSearchParams>> {
  if (!isType(request, 'application/x-www-form-urlencoded'))
    return { ok: false, answer: refuse(415, 'The body must be a form.') }
  const read = await readText(request, HTTP_LIMITS.formBytes, HTTP_LIMITS.bodyMs)
  return read.ok ? { ok: true, value: new URLSearchParams(read.value) } : read
}

async function readText(request: IncomingMessage, bytes: number, ms: number): Promise<Read<string>> {
  if ((request.headers['content-encoding'] ?? 'identity') !== 'identity')
    return { ok: false, answer: refuse(415, 'A compressed body is not taken.') }
  const large = bytes > HTTP_LIMITS.bodyBytes
  if (reading >= HTTP_LIMITS.bodiesAtOnce || (large && readingLarge >= HTTP_LIMITS.largeAtOnce))
    return { ok: false, answer: refuse(503, 'Too many requests at once.', { retryAfter: 1_000 }) }
  reading += 1
  if (large) readingLarge += 1
  try {
    return await collect(request, bytes, ms)
  } finally {
    reading -= 1
    if (large) readingLarge -= 1
  }
}

function collect(request: IncomingMessage, bytes: number, ms: number): Promise<Read<string>> {
  const tooLong: Read<string> = {
    ok: false,
    answer: refuse(413, `The body is longer than ${Math.floor(bytes / 1024)} KiB (${bytes} bytes).`),
  }
  return new Promise(resolve => {
    const chunks: Buffer[] = []
    let length = 0
    let over = false
    const late = () =>
      finish({ ok: false, answer: refuse(408, `The body was not in within ${ms / 1_000} seconds.`) })
    let timer = setTimeout(late, ms)

    const onData = (chunk: Buffer) => {
      length += chunk.length
      if (over && length > HTTP_LIMITS.discardBytes) return finish(tooLong)
      if (over) return
      if (length <= bytes) return void chunks.push(chunk)
      discard()
    }
    const discard = () => {
      over = true
      chunks.length = 0
      clearTimeout(timer)
      timer = setTimeout(() => finish(tooLong), HTTP_LIMITS.discardMs)
    }
    const onEnd = () => {
      if (over) return finish(tooLong)
      try {
        finish({ ok: true, value: new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(chunks)) })
      } catch {
        finish({ ok: false, answer: refuse(400, 'The body is not UTF-8.') })
      }
    }
    const onCut = () => finish({ ok: false, answer: refuse(400, 'The body was cut off.') })
    const finish = (read: Read<string>) => {
      clearTimeout(timer)
      request.off('data', onData).off('end', onEnd).off('error', onCut).off('close', onCut)
      // A late error of a connection that is being closed concerns nobody any more.
      request.on('error', () => {})
      resolve(read)
    }
    request.on('data', onData).on('end', onEnd).on('error', onCut).on('close', onCut)
    if (Number(request.headers['content-length'] ?? 0) > bytes) discard()
  })
}

function isType(request: IncomingMessage, type: string): boolean {
  return (request.headers['content-type'] ?? '').split(';')[0]!.trim().toLowerCase() === type
}
