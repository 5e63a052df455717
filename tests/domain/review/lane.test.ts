import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fold, foldAsHappened, isVerdict } from '../../../server/domain/day/fold.ts'
import { initialDay } from '../../../server/domain/day/initial.ts'
import type { Entry } from '../../../server/domain/log/entry.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { makeLane } from '../../../server/domain/review/lane.ts'
import { makeTimeline } from '../../../server/domain/review/timeline.ts'
import { MINUTE, SECOND } from '../../../server/domain/time.ts'
import { anyVoice } from '../../support/anyReport.ts'
import { aPlan, DAY } from '../../support/aPlan.ts'
import { at, desk, ended, entriesOf, iso, raised, type Said, says, system } from '../../support/given.ts'

const index = indexOf(aPlan(), DAY)
const start = () => initialDay(DAY, index)
const hashOf = (position: number) => `hash-${position}`

/** The state at a position, by a lane that has folded all of it. */
function stateBy(entries: readonly Entry[], verdicts: boolean, position: number, every = 7, most = 5) {
  const lane = makeLane(DAY, index, { verdicts, every, most })
  for (const entry of entries) lane.add(entry, hashOf(entry.position))
  const folded = lane.before(position)
  const from = folded.position
  for (const entry of entries.slice(folded.position, position))
    lane.step(folded, entry, hashOf(entry.position))
  return { folded, lane, read: position - from }
}

/** A day of several voices and the system's verdicts, recorded a second apart, some of it told late. */
const aDay = fc
  .tuple(anyVoice({ device: 'a' }, 25), anyVoice({ device: 'b' }, 25), anyVoice({ via: 'caller' }, 10))
  .map(voices => {
    const said: Said[] = [
      system(null, '05:00', 'DayOpened', { planHash: 'x', kind: 'election' }),
      ...voices.flat(),
      raised('E-01', '17:00', 'silent'),
      system('E-01', '17:00', 'PrecinctFellSilent', { heardAt: iso('16:55'), silentAt: iso('17:00') }),
      desk('E-01', '17:30', 'CallLogged', { outcome: 'watching' }),
      system('E-01', '17:40', 'PrecinctHeardAgain', { silentSeconds: 2_400 }),
      ended('E-01', '17:40', 'silent'),
    ]
    return entriesOf(said.map((s, i) => ({ ...s, recordedAt: at('18:00') + i * SECOND }) as Said))
  })

describe('resting places of a fold', () => {
  it('P12: give at any position the state that a fold from the first entry gives', () => {
    fc.assert(
      fc.property(aDay, fc.nat(80), (entries, cut) => {
        const position = Math.min(cut, entries.length)
        const { folded } = stateBy(entries, true, position)
        expect(folded.state).toEqual(fold(start(), entries.slice(0, position), index))
        expect(folded.position).toBe(position)
        if (position > 0) expect(folded.hash).toBe(hashOf(position))
      }),
      { numRuns: 80 },
    )
  })

  it('P12: with what was told late give the very state as happened at any instant', () => {
    fc.assert(
      fc.property(aDay, fc.nat(900), (entries, minute) => {
        const t = at('05:00') + minute * MINUTE
        const timeline = makeTimeline()
        for (const entry of entries) timeline.add(entry)
        const { first, late } = timeline.happenedBy(t)
        const { folded, lane } = stateBy(entries, false, first)
        for (const position of late) lane.step(folded, entries[position - 1]!, '')
        const wanted = foldAsHappened(start(), entries, index, t)
        expect(folded.state.precincts).toEqual(wanted.precincts)
        expect(folded.state.reasons).toEqual(wanted.reasons)
      }),
      { numRuns: 120 },
    )
  })

  it('P12: when all entries are in, as known and as happened end in the same state, verdicts aside', () => {
    fc.assert(
      fc.property(aDay, entries => {
        const all = entries.length
        const known = stateBy(
          entries.filter(e => !isVerdict(e)).map((e, i) => ({ ...e, position: i + 1 })),
          true,
          0,
        ).lane
        const happened = stateBy(entries, false, all).folded.state
        const told = known.before(all).state
        for (const [code, p] of happened.precincts) {
          // Positions differ, since the verdicts have none in the one; what was so must not.
          const { touchedAt: _, marks, devices, device, ...rest } = p
          const {
            touchedAt: __,
            marks: toldMarks,
            devices: toldDevices,
            device: toldDevice,
            ...toldRest
          } = told.precincts.get(code)!
          expect(rest).toEqual(toldRest)
          expect(marks.map(m => [m.what, m.at])).toEqual(toldMarks.map(m => [m.what, m.at]))
          expect(devices.map(d => d.id)).toEqual(toldDevices.map(d => d.id))
          expect(device?.id).toBe(toldDevice?.id)
        }
      }),
      { numRuns: 80 },
    )
  })

  it('never change under whoever was given a copy', () => {
    const entries = entriesOf([
      says('E-01', '06:30', 'PollsOpened', {}),
      says('E-01', '08:00', 'CountsReported', { checkedIn: 90 }),
      says('E-02', '08:10', 'PollsOpened', {}),
    ])
    const lane = makeLane(DAY, index, { verdicts: true, every: 1 })
    for (const entry of entries) lane.add(entry, hashOf(entry.position))
    const copy = lane.before(1)
    lane.step(copy, entries[1]!, 'h')
    lane.step(copy, entries[2]!, 'h')
    expect(lane.before(1).state.precincts.get('E-01')!.counts.checkedIn).toBeUndefined()
    expect(lane.before(3).state).toEqual(copy.state)
  })

  it('are bounded: thinned where there would be too many, and a jump still folds little', () => {
    const entries = entriesOf(
      Array.from({ length: 4_000 }, (_, i) =>
        says(`E-0${(i % 3) + 1}`, '09:00', 'LineReported', { inLine: i % 50 }, { number: i + 1 }),
      ),
    )
    const { lane, read } = stateBy(entries, true, 3_999, 10, 20)
    expect(lane.places()).toBeLessThanOrEqual(20)
    expect(lane.places()).toBeGreaterThanOrEqual(10)
    expect(read).toBeLessThanOrEqual(4_000 / 10)
  })

  it('hold fewer where a county has many precincts, and remember what was just asked for', () => {
    const entries = entriesOf(
      Array.from({ length: 300 }, (_, i) =>
        says('E-01', '09:00', 'LineReported', { inLine: i % 50 }, { number: i + 1 }),
      ),
    )
    const lane = makeLane(DAY, index, { verdicts: true, every: 1_000 })
    for (const entry of entries) lane.add(entry, hashOf(entry.position))
    expect(lane.before(200).position).toBe(0)
    const asked = lane.before(200)
    for (const entry of entries.slice(0, 200)) lane.step(asked, entry, hashOf(entry.position))
    lane.remember(asked)
    expect(lane.before(210).position).toBe(200)
    for (let i = 0; i < 9; i++) lane.remember(lane.before(0))
    expect(lane.before(210).position).toBe(0)
  })
})
