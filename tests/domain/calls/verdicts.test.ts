import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nothingPending, verdicts } from '../../../server/domain/calls/verdicts.ts'
import { kinds } from '../../../server/domain/log/kinds.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, given, type Said, says, system } from '../../support/given.ts'
import { endedIn, judging, more, raisedIn, write } from './judging.ts'

const HHMM = fc
  .integer({ min: 5 * 60, max: 23 * 60 })
  .map(m => `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`)
const precinct = fc.constantFrom('E-01', 'E-02', 'E-03')
const tag = fc.constantFrom('T-01', 'T-02', 'T-12', 'T-03', 'A-01', 'A-02', 'D-01', 'T-99')
const count = fc.oneof(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 1_000_000 }))

/** Anything a precinct may say, sense or nonsense. */
const said: fc.Arbitrary<Said> = fc.tuple(precinct, HHMM).chain(([p, time]) =>
  fc.oneof(
    fc.record({ present: count, howMany: fc.integer({ min: 1, max: 9 }) }).map(r =>
      says(p, time, 'TeamReported', {
        present: r.present,
        missing: [{ role: 'clerk', howMany: r.howMany }],
      }),
    ),
    fc
      .constantFrom('ballots', 'box', 'tabulator', 'roster')
      .map(step => says(p, time, 'StepCompleted', { step })),
    tag.map(tabulator => says(p, time, 'OpeningTapeVerified', { tabulator })),
    tag.map(tabulator => says(p, time, 'OpeningTapeRejected', { tabulator, problems: ['other'] })),
    fc
      .constantFrom('S-01-box', 'X')
      .map(found => says(p, time, 'SealRecorded', { container: 'box', found, state: 'intact' })),
    fc.constant(says(p, time, 'PollsOpened', {})),
    fc.constant(says(p, time, 'PollsSuspended', { cause: 'power' })),
    fc.constant(says(p, time, 'PollsClosed', {})),
    fc
      .record({ checkedIn: count, ballotsLeft: count, inSlot: count })
      .map(c => says(p, time, 'CountsReported', c)),
    fc
      .tuple(count, fc.integer({ min: 0, max: 9 }))
      .map(([inLine, stationsWorking]) => says(p, time, 'LineReported', { inLine, stationsWorking })),
    tag.map(equipment => says(p, time, 'EquipmentWentDown', { equipment })),
    tag.map(equipment => says(p, time, 'EquipmentRestored', { equipment })),
    fc.tuple(tag, tag).map(([equipment, by]) => says(p, time, 'EquipmentReplaced', { equipment, by })),
    fc.constant(says(p, time, 'EmergencySlotOpened', {})),
    fc.constant(says(p, time, 'EmergencySlotLocked', {})),
    fc.constant(says(p, time, 'HelpRequested', { about: 'other' })),
    fc.constant(says(p, time, 'ReturnDeparted', { carriers: 2, items: [], seals: [] })),
    fc.constant(says(p, time, 'ReturnReceived', { items: [], seals: [] })),
  ),
)
const days = fc.array(said, { maxLength: 40 }).map(list => list.sort((a, b) => a.recordedAt - b.recordedAt))

describe('verdicts of any day', () => {
  it('applied to the state and asked again give nothing new', () => {
    fc.assert(
      fc.property(days, fc.array(HHMM, { minLength: 1, maxLength: 6 }), (list, looks) => {
        const day = given(...list)
        let pending = nothingPending()
        for (const look of looks.sort()) {
          const now = at(look)
          const first = verdicts(day.state, day.index, now, pending)
          write(day, first.drafts, now)
          const again = verdicts(day.state, day.index, now, first.pending)
          expect(again.drafts).toEqual([])
          pending = again.pending
        }
      }),
      { numRuns: 60 },
    )
  })

  it('are bodies that the log takes, with voter-minutes finite and not negative, never dated after now', () => {
    let raisedAtAll = 0
    fc.assert(
      fc.property(days, HHMM, (list, look) => {
        const day = given(...list)
        for (const draft of verdicts(day.state, day.index, at(look), nothingPending()).drafts) {
          expect(draft.occurredAt).toBeLessThanOrEqual(at(look))
          expect(kinds[draft.kind].body.safeParse(draft.body).error).toBeUndefined()
          if (draft.kind === 'ReasonRaised') raisedAtAll++
        }
      }),
      { numRuns: 100 },
    )
    expect(raisedAtAll).toBeGreaterThan(100)
  })

  it('are the same for the same state, now and memory, and change neither', () => {
    fc.assert(
      fc.property(days, HHMM, (list, look) => {
        const day = given(...list)
        const before = structuredClone([...day.state.precincts])
        const memory = nothingPending()
        const one = verdicts(day.state, day.index, at(look), memory)
        expect(verdicts(day.state, day.index, at(look), memory)).toEqual(one)
        expect([...day.state.precincts]).toEqual(before)
        expect(memory.size).toBe(0)
      }),
      { numRuns: 25 },
    )
  })
})

describe('verdicts', () => {
  const opened = says('E-01', '06:28', 'PollsOpened', {})
  const down = says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' })

  it('look only at the precincts they are asked about', () => {
    const day = given(down)
    const { drafts } = verdicts(day.state, day.index, at('09:14'), nothingPending(), ['E-01'])
    expect(new Set(drafts.map(d => d.precinct))).toEqual(new Set(['E-01']))
    expect(verdicts(day.state, day.index, at('09:14'), nothingPending(), ['nowhere']).drafts).toEqual([])
  })

  it('date a reason by what happened, though it was reported late', () => {
    const late = says('E-01', '09:12', 'EquipmentWentDown', { equipment: 'T-01' }, { recorded: '09:40' })
    const judged = judging(given(opened, late))
    expect(raisedIn(judged.at('09:40'), 'tabulator-down')).toEqual([
      { key: 'tabulator-down:E-01:T-01', at: at('09:13') },
    ])
  })

  it('start the hold anew after a restart: a reason stands longer, never shorter', () => {
    const day = given(opened, down)
    const judged = judging(day)
    judged.at('09:13')
    more(day, says('E-01', '09:20', 'EquipmentRestored', { equipment: 'T-01' }))
    judged.at('09:20')
    const restarted = judging(day)
    expect(endedIn(restarted.at('09:21:30'))).toEqual([])
    expect(endedIn(restarted.at('09:22'))).toEqual([])
    expect(endedIn(restarted.at('09:23:30'))).toEqual([
      { key: 'tabulator-down:E-01:T-01', at: at('09:23:30') },
    ])
  })

  it('remember only what stands and is gone', () => {
    const day = given(opened, down)
    const judged = judging(day)
    judged.at('09:13')
    more(day, says('E-01', '09:20', 'EquipmentRestored', { equipment: 'T-01' }))
    judged.at('09:20')
    expect([...judged.pending().get('E-01')!.gone.keys()]).toEqual(['tabulator-down:E-01:T-01'])
    judged.at('09:22')
    judged.at('09:22:01')
    expect(judged.pending().has('E-01')).toBe(false)
  })

  it('say nothing of a day that is closed', () => {
    const day = given(down, system(null, '23:00', 'DayClosed', {}))
    expect(verdicts(day.state, day.index, at('23:01'), nothingPending()).drafts).toEqual([])
  })

  it('write a standing reason anew when policy gives it another tier', () => {
    const day = given(opened, down)
    judging(day).at('09:13')
    const plan = aPlan({ policy: { rules: { 'tabulator-down': { tier: 'stop' } } } })
    const changed = { ...day.index, plan }
    const { drafts } = verdicts(day.state, changed, at('09:13') + MINUTE, nothingPending(), ['E-01'])
    expect(drafts).toMatchObject([
      { kind: 'ReasonRaised', body: { key: 'tabulator-down:E-01:T-01', tier: 'stop' } },
    ])
  })

  it('do not start a delay anew because a newer count shows the same', () => {
    const day = given(opened)
    const judged = judging(day)
    const written: number[] = []
    for (const time of ['09:00', '09:01', '09:02', '09:03']) {
      more(day, says('E-01', time, 'LineReported', { inLine: 70 }))
      for (const r of raisedIn(judged.at(time), 'long-line')) written.push(r.at)
    }
    expect(written).toEqual([at('09:02')])
  })

  it('start a delay anew where the condition was gone between', () => {
    const day = given(opened)
    const judged = judging(day)
    for (const [time, inLine] of [
      ['09:00', 70],
      ['09:01', 10],
      ['09:02', 70],
      ['09:03', 70],
    ] as const) {
      more(day, says('E-01', time, 'LineReported', { inLine }))
      expect(raisedIn(judged.at(time), 'long-line')).toEqual([])
    }
    expect(raisedIn(judged.at('09:04'), 'long-line')).toHaveLength(1)
  })

  it('do not flood when figures swing: five minutes lie between two writings', () => {
    const day = given(opened, says('E-01', '09:00', 'LineReported', { inLine: 70 }))
    const judged = judging(day)
    const written: number[] = []
    for (let m = 0; m < 60; m++) {
      const time = `09:${String(m).padStart(2, '0')}`
      more(day, says('E-01', time, 'LineReported', { inLine: m % 2 ? 70 : 400 }))
      for (const r of raisedIn(judged.at(time), 'long-line')) written.push(r.at)
    }
    expect(written.length).toBeGreaterThan(2)
    expect(written.length).toBeLessThanOrEqual(12)
    for (let i = 1; i < written.length; i++)
      expect(written[i]! - written[i - 1]!).toBeGreaterThanOrEqual(5 * MINUTE)
  })
})
