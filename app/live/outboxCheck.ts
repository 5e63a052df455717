import type { z } from 'zod'
import { problemsOf, readAs } from '../../server/domain/log/check.ts'
import { isPrecinctKind } from '../../server/domain/log/kinds.ts'
import { precinctKinds } from '../../server/domain/log/kindsOfPrecinct.ts'
import { LIMITS, type Problem } from '../../server/protocol/device.ts'
import type { KeptReport } from './outboxStore.ts'

/** The body as it will be sent, or what is wrong with it, field by field: the office checks with the same schema. */
export function checkReport(
  kind: string,
  body: unknown,
): { ok: true; body: Record<string, unknown> } | { ok: false; problems: Problem[] } {
  if (!isPrecinctKind(kind)) return { ok: false, problems: [{ path: 'kind', message: 'unknown kind' }] }
  const parsed = readAs<z.ZodType>(precinctKinds[kind].body, body)
  if (!parsed.success) return { ok: false, problems: [...problemsOf(parsed.error)] }
  const text = JSON.stringify({
    number: Number.MAX_SAFE_INTEGER,
    at: new Date(0).toISOString(),
    kind,
    body: parsed.data,
  })
  if (bytes(text) > LIMITS.reportBytes)
    return { ok: false, problems: [{ path: '', message: `longer than ${LIMITS.reportBytes} bytes` }] }
  return { ok: true, body: JSON.parse(JSON.stringify(parsed.data)) }
}

/** The longest run from the start whose JSON is at most `mostBytes`; always at least one. */
export function cut(reports: KeptReport[], mostBytes: number): KeptReport[] {
  let sum = 0
  const end = reports.findIndex(({ number, at, kind, body }, i) => {
    sum += bytes(JSON.stringify({ number, at, kind, body })) + 1
    return i > 0 && sum > mostBytes
  })
  return end === -1 ? reports : reports.slice(0, end)
}

const encoder = new TextEncoder()
function bytes(text: string): number {
  return encoder.encode(text).length
}
