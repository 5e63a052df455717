import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { evolve } from '../../../server/domain/day/evolve.ts'
import { fold, foldAsHappened, foldUntil, isVerdict } from '../../../server/domain/day/fold.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import { rowOf } from '../../../server/domain/day/rowOf.ts'
import { LIMITS, type PrecinctState } from '../../../server/domain/day/state.ts'
import type { Entry } from '../../../server/domain/log/entry.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { SECOND } from '../../../server/domain/time.ts'
import { anyReport, anyVoice } from '../../support/anyReport.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import {
  at,
  desk,
  ended,
  entriesOf,
  given,
  iso,
  raised,
  type Said,
  says,
  system,
} from '../../support/given.ts'

const index = indexOf(aPlan(), DAY)
const folded = (entries: readonly Entry[]) => fold(initialDay(DAY, index), entries, index)

/** Entries of several sources in an order that `picks` chooses, each source's own order kept. */
function interleaved<T>(voices: readonly (readonly T[])[], picks: readonly number[]): T[] {
  const rest = voices.map(v => [...v])
  const order: T[] = []
  for (let i = 0; rest.some(v => v.length > 0); i++) {
    const speaking = rest.filter(v => v.length > 0)
    order.push(speaking[(picks[i % picks.length] ?? 0) % speaking.length]!.shift()!)
  }
  return order
}

/** As recorded: a second apart, in this order. */
function recorded(said: readonly Said[]): Entry[] {
  return entriesOf(said.map((s, i) => ({ ...s, recordedAt: at('18:00') + i * SECOND }) as Said))
}

const voices = fc.tuple(
  anyVoice({ device: 'a' }, 25),
  anyVoice({ device: 'b' }, 25),
  anyVoice({ via: 'caller' }, 10),
  anyVoice({ via: 'paper' }, 10),
)
const picks = fc.array(fc.nat(100), { minLength: 1, maxLength: 80 })

describe('the fold', () => {
  test('P12 any order of arrival that keeps each device’s own ends in the same state', () => {
    fc.assert(
      fc.property(voices, picks, picks, (said, first, second) => {
        const entries = recorded(interleaved(said, first))
        const bySource = new Map<string, Entry[]>()
        for (const e of entries) bySource.set(e.source, [...(bySource.get(e.source) ?? []), e])
        const other = interleaved([...bySource.values()], second)
        const [a, b] = [folded(entries), folded(other)]
        expect(b).toEqual(a)
        expect(rowOf(b.precincts.get('E-01')!, index)).toEqual(rowOf(a.precincts.get('E-01')!, index))
      }),
      { numRuns: 300 },
    )
  })

  test('P12 more than is kept, in opposite orders, keeps the same', () => {
    const said = Array.from({ length: 400 }, (_, i) => {
      const time = `${String(7 + Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')}`
      const kinds = [
        says('E-01', time, 'EmergencySlotOpened', {}),
        says('E-01', time, 'SlotBallotsFed', { fed: 1, handCounted: 0, handedOver: 0 }),
        says('E-01', time, 'IncidentNoted', { category: 'access', what: 'ramp' }),
        says('E-01', time, 'EquipmentWentDown', { equipment: `X-${i % 50}` }),
      ]
      return { ...kinds[i % 4]!, source: `command:${i}`, origin: { via: 'paper' } } as Said
    })
    const entries = recorded(said)
    expect(folded([...entries].reverse())).toEqual(folded(entries))
  })

  test('P12 as known and as happened end in the same state, verdicts of the system aside', () => {
    fc.assert(
      fc.property(voices, picks, (said, order) => {
        const entries = recorded([
          ...interleaved(said, order),
          raised('E-01', '17:00', 'silent'),
          desk('E-01', '17:59', 'CallLogged', { outcome: 'solved' }),
        ])
        const known = folded(entries.filter(e => !isVerdict(e)))
        const happened = foldAsHappened(initialDay(DAY, index), entries, index, at('23:00'))
        expect(happened.precincts).toEqual(known.precincts)
      }),
      { numRuns: 200 },
    )
  })

  test('P12 the state at an instant is what was recorded by then, or what had happened by then', () => {
    const entries = entriesOf([
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '08:00', 'CountsReported', { checkedIn: 90 }, { recorded: '10:00' }),
      says('E-01', '10:05', 'CountsReported', { checkedIn: 200 }),
    ])
    const start = () => initialDay(DAY, index)
    const checkedIn = (state: ReturnType<typeof start>) => state.precincts.get('E-01')!.counts.checkedIn?.is
    expect(checkedIn(foldUntil(start(), entries, index, at('09:00')))).toBeUndefined()
    expect(checkedIn(foldAsHappened(start(), entries, index, at('09:00')))).toBe(90)
    expect(checkedIn(foldUntil(start(), entries, index, at('10:00')))).toBe(90)
    expect(checkedIn(foldUntil(start(), entries, index, at('10:05')))).toBe(200)
  })

  test('P12 what the system concluded is no part of what was really so', () => {
    const entries = entriesOf([
      raised('E-01', '09:00', 'silent'),
      system('E-01', '09:00', 'PrecinctFellSilent', { heardAt: iso('08:55'), silentAt: iso('09:00') }),
      system('E-01', '09:10', 'PrecinctHeardAgain', { silentSeconds: 600 }),
      ended('E-01', '09:10', 'silent'),
    ])
    const p = foldAsHappened(initialDay(DAY, index), entries, index, at('10:00')).precincts.get('E-01')!
    expect(p.silences).toEqual([])
    expect(p.reasons).toEqual({})
  })

  test('P4 folding in one go or entry by entry, from a copy of the prefix, is the same', () => {
    fc.assert(
      fc.property(voices, picks, fc.nat(70), (said, order, cut) => {
        const entries = recorded(interleaved(said, order))
        const prefix = folded(entries.slice(0, cut))
        const copy = { ...prefix, precincts: new Map(prefix.precincts) }
        expect(fold(copy, entries.slice(cut), index)).toEqual(folded(entries))
      }),
      { numRuns: 60 },
    )
  })

  test('P4 what a board was given never changes under it', () => {
    fc.assert(
      fc.property(voices, picks, (said, order) => {
        const state = initialDay(DAY, index)
        for (const entry of recorded(interleaved(said, order))) {
          for (const p of state.precincts.values()) freeze(p)
          const before = state.precincts.get('E-01')
          evolve(state, freeze(entry), index)
          expect(state.precincts.get('E-01')).not.toBe(before)
          expect(state.precincts.get('E-02')).toBe(state.precincts.get('E-02'))
        }
      }),
      { numRuns: 60 },
    )
  })

  test('a precinct’s state is bounded, whatever is said how often', () => {
    const reports = fc.sample(anyReport, { numRuns: 6_000, seed: 7 })
    const said = reports.map(({ kind, body }, i) =>
      says(
        'E-01',
        `${String(6 + (i % 13)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')}`,
        kind,
        body as never,
        {
          device: `d${i % 30}`,
        },
      ),
    )
    const state = folded(recorded(said))
    const p = state.precincts.get('E-01')!
    expect(p.changes).toHaveLength(LIMITS.changes)
    expect(p.marks).toHaveLength(LIMITS.marks)
    expect(p.devices).toHaveLength(LIMITS.devices)
    expect(p.feeds.length).toBeLessThanOrEqual(LIMITS.feeds)
    const planned = 3
    for (const table of [p.tapes, p.downSaid, p.publicCounts, p.closingTapes, p.replacements, p.seals])
      expect(Object.keys(table).length).toBeLessThanOrEqual(LIMITS.unplanned + planned)
    expect(Object.keys(p.curve).length).toBeLessThanOrEqual(120)
    // Measured: 29 KB of JSON with every list full.
    expect(JSON.stringify(p).length).toBeLessThan(64_000)
  })

  test('silences are bounded too', () => {
    const said = Array.from({ length: 100 }, (_, i) => {
      const time = `09:${String(i % 60).padStart(2, '0')}`
      return [
        system('E-01', time, 'PrecinctFellSilent', { heardAt: iso(time), silentAt: iso(time) }),
        system('E-01', time, 'PrecinctHeardAgain', { silentSeconds: 1 }),
      ]
    }).flat()
    expect(given(...said).p('E-01').silences).toHaveLength(LIMITS.silences)
  })

  test('P7 the cursor and the clock of the state never go back', () => {
    const entries = entriesOf([
      says('E-01', '06:30', 'PollsOpened', {}, { recorded: '06:40' }),
      says('E-02', '06:30', 'PollsOpened', {}, { recorded: '06:35' }),
    ])
    const state = folded([...entries].reverse())
    expect(state.cursor).toBe(2)
    expect(state.recordedAt).toBe(at('06:40'))
  })
})

function freeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value)
    for (const inner of Object.values(value as Record<string, unknown> & PrecinctState)) freeze(inner)
  }
  return value
}
