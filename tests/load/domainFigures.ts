import { nothingPending, verdicts } from '../../server/domain/calls/verdicts.ts'
import { copyOf } from '../../server/domain/day/copies.ts'
import { evolve } from '../../server/domain/day/evolve.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import { dayForecasts } from '../../server/domain/forecast/day.ts'
import { gatherDay, gatherPrecinct } from '../../server/domain/forecast/gather.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import { HOUR, MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { aWidePlan, DAY } from '../support/aPlan.ts'
import { type Figure, figure } from './figure.ts'
import { stateAt } from './usualState.ts'

const PRECINCTS = 1_000
const ENTRIES = 1_000_000
const index = indexOf(aWidePlan(PRECINCTS), DAY)

/** A day's usual mix, in order of time: counts, lines and heartbeats with news. */
function usualEntries(): Entry[] {
  const codes = index.plan.precincts.map(p => p.code)
  const entries: Entry[] = []
  for (let i = 0; i < ENTRIES; i++) {
    const code = codes[i % PRECINCTS]!
    const at = index.brief.opensAt + Math.floor((i / ENTRIES) * 12 * 60 * MINUTE)
    const round = Math.floor(i / PRECINCTS)
    const head = {
      version: 1,
      precinct: code,
      source: `device:${code}`,
      number: round + 1,
      occurredAt: at,
      recordedAt: at,
      origin: { via: 'device' as const },
      position: i + 1,
    }
    const third = round % 3
    if (third === 0)
      entries.push({
        ...head,
        kind: 'CountsReported',
        body: {
          checkedIn: round,
          publicCount: { [`TW-${code.slice(2)}`]: round },
          ballotsLeft: 1_200 - (round % 1_200),
        },
      } as Entry)
    else if (third === 1)
      entries.push({
        ...head,
        kind: 'LineReported',
        body: { inLine: round % 30, stationsWorking: 3 },
      } as Entry)
    else
      entries.push({
        ...head,
        kind: 'HeartbeatReceived',
        number: null,
        body: { counts: { checkedIn: { is: round, asOf: toRfc3339(at) } }, device: { battery: 80 } },
      } as Entry)
  }
  return entries
}

/** Entries folded per second on one core. */
export function fold(): Figure[] {
  const entries = usualEntries()
  const warm = initialDay(DAY, index)
  for (const entry of entries.slice(0, 100_000)) evolve(warm, entry, index)
  const state = initialDay(DAY, index)
  const from = performance.now()
  for (const entry of entries) evolve(state, entry, index)
  return [figure('fold', ENTRIES / ((performance.now() - from) / 1_000), 'entries/s', 500_000)]
}

/** Milliseconds to judge all 1,000 precincts by every rule, in the middle of the day. */
export function rules(): Figure[] {
  const state = initialDay(DAY, index)
  for (const entry of usualEntries().slice(0, 200_000)) evolve(state, entry, index)
  const now = state.recordedAt + 3 * MINUTE
  for (let i = 0; i < 20; i++) verdicts(state, index, now, nothingPending())
  const from = performance.now()
  for (let i = 0; i < 20; i++) verdicts(state, index, now, nothingPending())
  return [figure('rules', (performance.now() - from) / 20, 'ms for 1,000 precincts', 50)]
}

/**
 * Microseconds to judge one precinct that has just said something, by every rule, in the middle of a usual day with
 * hourly counts and fresh forecasts.
 */
export function rulesTouched(): Figure[] {
  const at = index.brief.opensAt + 5.6 * HOUR
  const state = stateAt(index, at)
  const inputs = [...state.precincts.values()].map(p =>
    gatherPrecinct(p, index.precincts.get(p.code)!, index, at),
  )
  const forecasts = dayForecasts(gatherDay(index, at), 1, inputs)
  const rounds = 30
  let spent = 0
  for (let round = 0; round < rounds; round++)
    for (const { code } of index.plan.precincts) {
      // A record of its own, as after an entry: nothing that was found of the one before holds for it.
      state.precincts.set(code, copyOf(state.precincts.get(code)!))
      const from = performance.now()
      verdicts(state, index, at, nothingPending(), [code], forecasts)
      if (round > 0) spent += performance.now() - from
    }
  const each = (spent * 1_000) / ((rounds - 1) * PRECINCTS)
  return [figure('rulesTouched', each, 'µs for a precinct', 50)]
}
