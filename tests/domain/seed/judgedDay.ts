import { nothingPending, verdicts } from '../../../server/domain/calls/verdicts.ts'
import { callList } from '../../../server/domain/day/callList.ts'
import { evolve } from '../../../server/domain/day/evolve.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import type { DayState } from '../../../server/domain/day/state.ts'
import { dayForecasts } from '../../../server/domain/forecast/day.ts'
import { forecastDue } from '../../../server/domain/forecast/due.ts'
import type { Forecasts } from '../../../server/domain/forecast/forecast.ts'
import { gatherDay, gatherPrecinct } from '../../../server/domain/forecast/gather.ts'
import { checkPrecinctReport, partDetail } from '../../../server/domain/log/check.ts'
import type { Draft, Entry } from '../../../server/domain/log/entry.ts'
import { kinds } from '../../../server/domain/log/kinds.ts'
import { HOUR, type Instant, MINUTE, toRfc3339 } from '../../../server/domain/time.ts'
import { dayOf, index } from './playing.ts'

export type Verdict = {
  key: string
  rule: string
  precinct: string | null
  raisedAt: Instant
  endedAt: Instant | null
}

/** While much is opened forecasts are made each minute, as the server does; then less often, since it takes long. */
const LATER = 4 * MINUTE

/** Facts reach the office at once, or after their gap; tablets are heard every minute; judged every minute. */
const STEP = MINUTE

function forecastsOf({ forecastBase }: DayState): Forecasts {
  const { at, position, precincts } = forecastBase!
  const inputs = [...precincts.values()].map(p => gatherPrecinct(p, index.precincts.get(p.code)!, index, at))
  return dayForecasts(gatherDay(index, at), position, inputs)
}

/** A whole practice day folded and judged without a server or a clock: every reason that was raised, in order. */
export function judgedDay(seed: number): {
  verdicts: Verdict[]
  /** Lines that came onto the call list. */
  lines: Array<{ at: Instant; key: string }>
  state: ReturnType<typeof initialDay>
} {
  const script = dayOf(seed)
  const state = initialDay('practice', index)
  let pending = nothingPending()
  let forecasts: Forecasts | null = null
  const raised: Verdict[] = []
  const lines: Array<{ at: Instant; key: string }> = []
  let shown = new Set<string>()
  const write = (draft: Draft, recordedAt: Instant) =>
    evolve(state, { ...draft, position: state.cursor + 1, recordedAt } as Entry, index)
  const system = (
    kind: 'DeviceEnrolled' | 'DevicesHeard' | 'ForecastMade',
    precinct: string | null,
    body: object,
    at: Instant,
  ) =>
    write(
      {
        kind,
        version: 1,
        precinct,
        source: 'system',
        number: null,
        occurredAt: at,
        origin: { via: 'system' },
        body,
      } as Draft,
      at,
    )

  const begin = index.brief.reportAt - HOUR
  const end = index.brief.returnBy + HOUR
  for (const code of script.precincts.keys()) system('DeviceEnrolled', code, { device: `d-${code}` }, begin)
  const sent = new Map<string, number>()
  for (let now = begin; now <= end; now += STEP) {
    const heard: Record<string, string> = {}
    for (const [code, { facts, gaps, heartbeats }] of script.precincts) {
      if (gaps.some(g => g.from <= now && (g.to === null || now < g.to))) continue
      let n = sent.get(code) ?? 0
      for (; n < facts.length && facts[n]!.at <= now; n++) {
        const { kind, body, at } = facts[n]!
        const checked = checkPrecinctReport(kind, body)
        if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
        write(
          {
            kind,
            version: kinds[kind].version,
            precinct: code,
            source: `device:d-${code}`,
            number: n + 1,
            occurredAt: at,
            origin: { via: 'device' },
            body: partDetail(checked.kind, checked.body).body,
          } as Draft,
          now,
        )
      }
      sent.set(code, n)
      if (heartbeats.from <= now && now < heartbeats.until) heard[code] = toRfc3339(now)
    }
    if (Object.keys(heard).length > 0) system('DevicesHeard', null, { heard }, now)
    const pace = now < index.brief.opensAt + 90 * MINUTE ? MINUTE : LATER
    if (forecastDue(state, index, now, false) && now >= (forecasts?.at ?? 0) + pace) {
      system('ForecastMade', null, {}, now)
      forecasts = forecastsOf(state)
    }
    const judged = verdicts(state, index, now, pending, undefined, forecasts)
    pending = judged.pending
    for (const draft of judged.drafts) {
      if (draft.kind === 'ReasonRaised' && !raised.some(r => r.key === draft.body.key && r.endedAt === null))
        raised.push({
          key: draft.body.key,
          rule: draft.body.rule,
          precinct: draft.precinct,
          raisedAt: draft.occurredAt,
          endedAt: null,
        })
      if (draft.kind === 'ReasonEnded')
        for (const r of raised)
          if (r.key === draft.body.key && r.endedAt === null) r.endedAt = draft.occurredAt
      write(draft, now)
    }
    const list = new Set(callList(state, index, now).map(line => line.key))
    for (const key of list) if (!shown.has(key)) lines.push({ at: now, key })
    shown = list
  }
  return { verdicts: raised, lines, state }
}
