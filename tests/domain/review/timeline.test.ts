import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isVerdict } from '../../../server/domain/day/fold.ts'
import type { Entry } from '../../../server/domain/log/entry.ts'
import { makeTimeline, REASONS_MARKED } from '../../../server/domain/review/timeline.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { at, ended, entriesOf, iso, raised, type Said, says, system } from '../../support/given.ts'

function timelineOf(entries: readonly Entry[]) {
  const timeline = makeTimeline()
  for (const entry of entries) timeline.add(entry)
  return timeline
}

const late = [
  says('E-01', '06:30', 'PollsOpened', {}),
  says('E-02', '07:00', 'PollsOpened', {}, { recorded: '07:01' }),
  raised('E-03', '07:02', 'not-open', { tier: 'stop' }),
  says('E-01', '06:45', 'LineReported', { inLine: 4 }, { recorded: '09:00' }),
  says('E-01', '09:01', 'LineReported', { inLine: 9 }),
]

describe('the timeline of a log', () => {
  it('P12: tells how much of the log was recorded by an instant, to the millisecond', () => {
    const timeline = timelineOf(entriesOf(late))
    expect(timeline.knownBy(at('06:30') - 1)).toBe(0)
    expect(timeline.knownBy(at('06:30'))).toBe(1)
    expect(timeline.knownBy(at('07:01') - 1)).toBe(1)
    expect(timeline.knownBy(at('08:59'))).toBe(3)
    expect(timeline.knownBy(at('23:00'))).toBe(5)
  })

  it('P12: tells what had happened by an instant: a beginning of the log, and what was told late', () => {
    const timeline = timelineOf(entriesOf(late))
    expect(timeline.happenedBy(at('06:30'))).toEqual({ first: 1, late: [] })
    expect(timeline.happenedBy(at('06:50'))).toEqual({ first: 1, late: [4] })
    expect(timeline.happenedBy(at('07:00'))).toEqual({ first: 4, late: [] })
    expect(timeline.happenedBy(at('06:00'))).toEqual({ first: 0, late: [] })
  })

  it('P12: for any entries names exactly those that a filter of the whole log finds', () => {
    const instants = fc.array(fc.tuple(fc.nat(600), fc.nat(600), fc.boolean()), { maxLength: 120 })
    fc.assert(
      fc.property(instants, fc.nat(700), (said, minute) => {
        let recordedAt = at('06:00')
        const entries = entriesOf(
          said.map(([gap, lag, verdict]) => {
            recordedAt += gap * 1_000
            const base = verdict
              ? raised('E-01', '06:00', 'silent')
              : says('E-01', '06:00', 'LineReported', { inLine: 1 })
            return { ...base, recordedAt, occurredAt: recordedAt - lag * 1_000 } as Said
          }),
        )
        const t = at('06:00') + minute * MINUTE
        const timeline = timelineOf(entries)
        const { first, late: after } = timeline.happenedBy(t)
        const named = new Set([...entries.slice(0, first).map(e => e.position), ...after])
        const wanted = entries.filter(e => e.occurredAt <= t && !isVerdict(e)).map(e => e.position)
        const counted = entries.filter(e => named.has(e.position) && !isVerdict(e)).map(e => e.position)
        expect(counted).toEqual(wanted)
        expect(timeline.knownBy(t)).toBe(entries.filter(e => e.recordedAt <= t).length)
      }),
      { numRuns: 300 },
    )
  })

  it('counts entries by quarter hours, and marks reasons of stop and now at their first raising', () => {
    const timeline = timelineOf(
      entriesOf([
        ...late,
        raised('E-01', '09:20', 'tabulator-down', { tier: 'now' }),
        raised('E-01', '09:30', 'tabulator-down', { tier: 'now', voterMinutes: 900 }),
        raised('E-02', '09:31', 'silent'),
        ended('E-01', '09:40', 'tabulator-down'),
        raised('E-01', '10:00', 'tabulator-down', { tier: 'now' }),
      ]),
    )
    expect(timeline.quarters()).toEqual([
      { from: at('06:30'), entries: 1 },
      { from: at('07:00'), entries: 2 },
      { from: at('09:00'), entries: 2 },
      { from: at('09:15'), entries: 1 },
      { from: at('09:30'), entries: 3 },
      { from: at('10:00'), entries: 1 },
    ])
    expect(timeline.reasons().map(r => [r.rule, r.tier, r.at])).toEqual([
      ['not-open', 'stop', at('07:02')],
      ['tabulator-down', 'now', at('09:20')],
      ['tabulator-down', 'now', at('10:00')],
    ])
    expect(timeline.reasonsLeftOut()).toBe(0)
  })

  it('keeps a bounded number of marks and says how many it left out; grows with the log', () => {
    const many = Array.from({ length: REASONS_MARKED + 3_000 }, (_, i) =>
      raised('E-01', '09:00', 'tabulator-down', { key: `tabulator-down:E-01:T-${i}`, tier: 'now' }),
    )
    const timeline = timelineOf(entriesOf(many))
    expect(timeline.length()).toBe(REASONS_MARKED + 3_000)
    expect(timeline.reasons()).toHaveLength(REASONS_MARKED)
    expect(timeline.reasonsLeftOut()).toBe(3_000)
    expect(timeline.recordedAt(REASONS_MARKED + 3_000)).toBe(at('09:00'))
  })

  it('refuses an entry out of turn', () => {
    const [first] = entriesOf([
      system(null, '05:00', 'ServiceResumed', { lastKnownAt: iso('04:00'), graceUntil: iso('05:03') }),
    ])
    const timeline = timelineOf([first!])
    expect(() => timeline.add(first!)).toThrow(/after entry 1/)
  })
})
