import type { ReportAnswer, ReportRequest } from '../../server/protocol/device.ts'

/** A clock that moves only when told, with its timers. */
export function handClock(from = Date.parse('2026-11-03T11:00:00Z')) {
  let now = from
  let timers: Array<{ at: number; then: () => void }> = []
  return {
    now: () => now,
    after(ms: number, then: () => void) {
      const timer = { at: now + ms, then }
      timers.push(timer)
      return () => {
        timers = timers.filter(t => t !== timer)
      }
    },
    /** Moves on and lets everything that is due happen, in order. */
    async pass(ms: number) {
      const end = now + ms
      await settled()
      for (;;) {
        const due = timers.filter(t => t.at <= end).sort((a, b) => a.at - b.at)[0]
        if (!due) break
        timers = timers.filter(t => t !== due)
        now = Math.max(now, due.at)
        due.then()
        await settled()
      }
      now = end
      await settled()
    },
    planned: () => timers.map(t => t.at - now),
  }
}

/** Lets promises that need no time run to their end. */
export async function settled() {
  for (let i = 0; i < 5; i++) await new Promise(resolve => setImmediate(resolve))
}

/**
 * An office that keeps numbers as the wire says: what is there already changes nothing, a gap is asked for,
 * bodies named in `refuse` are refused and their numbers consumed.
 */
export function handOffice() {
  const had: Array<{ number: number; kind: string; body: unknown; at: string }> = []
  const requests: ReportRequest[] = []
  let upTo = 0
  const refusals = new Map<number, { number: number; problems: Array<{ path: string; message: string }> }>()
  const office = {
    had,
    requests,
    refuse: (_: { kind: string; body: Record<string, unknown> }) => false,
    /** Does something else with the next requests: lose the answer, lose the request, or answer so. */
    next: [] as Array<'lose-answer' | 'lose-request' | ReportAnswer>,
    get upTo() {
      return upTo
    },
    /** The office lost what came after this number (an older backup was taken). */
    forgetAfter(number: number) {
      upTo = number
      for (const refused of [...refusals.keys()]) if (refused > number) refusals.delete(refused)
      had.splice(0, had.length, ...had.filter(r => r.number <= number))
    },
    async transport(request: ReportRequest): Promise<ReportAnswer> {
      requests.push(structuredClone(request))
      const special = office.next.shift()
      if (special === 'lose-request') throw new Error('no answer')
      if (special && special !== 'lose-answer') return special
      const answer = take(request)
      if (special === 'lose-answer') throw new Error('no answer')
      return answer
    },
  }
  function take(request: ReportRequest): ReportAnswer {
    for (const r of request.reports) {
      if (r.number > upTo + 1) return { ok: false, upTo, next: upTo + 1 }
      if (r.number <= upTo) continue
      upTo = r.number
      if (office.refuse(r))
        refusals.set(r.number, {
          number: r.number,
          problems: [{ path: 'body.what', message: 'refused here' }],
        })
      else had.push(r)
    }
    const refused = request.reports.flatMap(r => refusals.get(r.number) ?? [])
    return { ok: true, upTo, refused }
  }
  return office
}
