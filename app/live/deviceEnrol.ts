import type { EnrolAnswer } from '../../server/protocol/device.ts'

export type Identity = { device: string; key: string; day: string; precinct: string; upTo: number }

export type EnrolOutcome =
  | { ok: true; identity: Identity }
  /** `reason`: stable, after `code.` in the answer's path; empty where an older server gives none. */
  | { ok: false; why: 'code'; reason: string; message: string }
  /** Milliseconds until another try is heard. */
  | { ok: false; why: 'too-many'; retryAfter: number }
  | { ok: false; why: 'no-network' | 'office' }

/** What this tablet serves already: the office uses up only a code that goes with it. */
export type Beside = { day: string; precincts: string[] }

/** Redeems a code at the office. Never rejects: no network is an outcome like the others. */
export async function enrol(code: string, label: string, beside?: Beside): Promise<EnrolOutcome> {
  let response: Response
  let schema: typeof import('../../server/protocol/device.ts')
  try {
    // Loaded when it is wanted: the page answers sooner without it.
    schema = await import('../../server/protocol/device.ts')
    response = await fetch('/api/v1/enrol', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({
        code: plainCode(code),
        ...(label.trim() ? { label: label.trim().slice(0, 60) } : {}),
        ...(beside ? { beside } : {}),
      }),
      signal: AbortSignal.timeout(20_000),
    })
  } catch {
    return { ok: false, why: 'no-network' }
  }
  const parsed = schema.enrolAnswer.safeParse(await response.json().catch(() => null))
  if (!parsed.success) return { ok: false, why: 'office' }
  return outcomeOf(parsed.data)
}

function outcomeOf(answer: EnrolAnswer): EnrolOutcome {
  if (answer.ok) {
    const { device, key, day, precinct, upTo } = answer
    return { ok: true, identity: { device, key, day, precinct, upTo } }
  }
  if (answer.retryAfter !== undefined) return { ok: false, why: 'too-many', retryAfter: answer.retryAfter }
  const { path = '', message = '' } = answer.problems[0] ?? {}
  return { ok: false, why: 'code', reason: path.replace(/^code\.?/, ''), message }
}

/** A code as typed by thumbs: spaces and dashes are no part of it, small letters are as good as large. */
export function plainCode(typed: string): string {
  return typed.replace(/[\s-]/g, '').toUpperCase()
}
