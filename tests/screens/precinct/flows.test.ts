import { describe, expect, it } from 'vitest'
import { checkReport } from '../../../app/live/outboxCheck.ts'
import type { Answer, Around } from '../../../app/precinct/asking/question.ts'
import { flowOf, screenOf } from '../../../app/precinct/flows/flows.ts'
import { aDevicePlan, around, CLOSES, OPENS, said } from './given.ts'
import { talkThrough } from './talk.ts'

const here = around(aDevicePlan())
const flow = (name: string, what?: string) => flowOf(name, what)!

describe('every conversation ends in reports that the office takes', () => {
  const open = around(aDevicePlan({ polls: 'open', down: ['T2'], slotOpen: true, inSlot: 9 }))
  const cases: Array<[string, string | undefined, Record<string, Answer>, Around, string[]]> = [
    [
      'team',
      undefined,
      { present: 8, missing: ['greeter'], 'many:greeter': 1, standby: 'no' },
      here,
      ['TeamReported'],
    ],
    ['step', 'box', { done: 'yes' }, here, ['StepCompleted']],
    ['seal', 'ballot-box', { state: 'intact', found: 'E1' }, here, ['SealRecorded']],
    ['seal', 'ballot-box', { found: null, state: 'missing' }, here, ['SealRecorded']],
    ['open', undefined, { open: 'yes', slot: 'yes' }, here, ['PollsOpened']],
    ['line', undefined, { inLine: 12, stations: 3 }, open, ['LineReported']],
    ['equipment', 'T1', { stopped: 'yes', what: null }, open, ['EquipmentWentDown']],
    ['equipment', 'T2', { works: 'same' }, open, ['EquipmentRestored']],
    [
      'equipment',
      'T2',
      { works: 'other', oldCount: 88, by: 'T9' },
      open,
      ['CountsReported', 'EquipmentReplaced'],
    ],
    ['equipment', 'T2', { works: 'other', oldCount: null, by: 'T9' }, open, ['EquipmentReplaced']],
    ['seal-off', 'ballot-box', { found: 'E1' }, open, ['SealRecorded']],
    ['seal-on', 'ballot-box', { found: 'E2' }, open, ['SealRecorded']],
    ['count-curbside', undefined, { curbside: 3 }, open, ['CountsReported']],
    ['count-provisional', undefined, { provisional: 3 }, open, ['CountsReported']],
    ['count-spoiled', undefined, { spoiled: 3 }, open, ['CountsReported']],
    ['move', undefined, { cause: 'fire', to: 'the library across the road' }, open, ['PlaceMoved']],
    ['supplies', undefined, { item: 'workers', howMany: 1, what: null }, open, ['SuppliesRequested']],
    ['slot-opened', undefined, { two: 'two' }, open, ['EmergencySlotOpened']],
    ['slot-locked', undefined, { inSlot: null, two: 'one' }, open, ['EmergencySlotLocked']],
    [
      'slot-fed',
      undefined,
      { fed: 7, hand: 1, over: 1, note: 'to the rover', two: 'two' },
      open,
      ['SlotBallotsFed'],
    ],
    ['incident', undefined, { category: 'weather', what: 'hail', resolution: null }, open, ['IncidentNoted']],
    ['help', undefined, { about: 'power', what: null }, open, ['HelpRequested']],
    ['supplies', undefined, { item: 'ballots', howMany: 100, what: null }, open, ['SuppliesRequested']],
    ['supplies', undefined, { item: 'other', howMany: null, what: 'tape' }, open, ['SuppliesRequested']],
    [
      'box',
      undefined,
      { reason: 'remove', two: 'two', sealed: 'yes', number: 'E7', note: null },
      open,
      ['BallotBoxOpened', 'SealRecorded'],
    ],
    [
      'box',
      undefined,
      { reason: 'remove', two: 'two', sealed: 'none', note: null },
      open,
      ['BallotBoxOpened'],
    ],
    ['box', undefined, { reason: 'straighten', two: 'one', note: 'new seal' }, open, ['BallotBoxOpened']],
    ['suspend', undefined, { cause: 'power', what: 'no light' }, open, ['PollsSuspended']],
    ['resume', undefined, { resume: 'yes' }, open, ['PollsResumed']],
    ['close', undefined, { closed: 'yes', inLine: 4 }, open, ['PollsClosed']],
    ['last-voter', undefined, { last: 'yes' }, open, ['LastVoterServed', 'StepCompleted']],
    ['closing-tape', 'T1', { publicCount: 300, two: 'two' }, open, ['ClosingTapeSigned']],
    [
      'depart',
      undefined,
      { carriers: 2, two: 'two', items: ['tapes'], seals: 'E1\n\n E2 ' },
      open,
      ['ReturnDeparted'],
    ],
  ]
  it.each(cases)('%s %s', (name, what, given, at, kinds) => {
    const end = talkThrough(flow(name, what), given, at)
    if (!end.say || !end.done) throw new Error(`still asks ${end.open?.id}`)
    expect(end.say.map(s => s.kind)).toEqual(kinds)
    for (const { kind, body } of end.say) expect(checkReport(kind, body)).toMatchObject({ ok: true })
    for (const { kind, body } of end.say) expect(flowOf(...route(screenOf(kind, body)!))).not.toBeNull()
  })
  function route(screen: string): [string, string | undefined] {
    const [, name, what] = screen.split('/')
    return [name!, what]
  }
})

describe('the opening tape', () => {
  const yes = Object.fromEntries(
    [
      'not-printed',
      'precinct-name',
      'not-zero',
      'public-count',
      'ballot-order',
      'seal-number',
      'signatures',
    ].map(id => [id, 'yes']),
  )
  it('asks each check by itself and is verified when all are well', () => {
    const end = talkThrough(flow('tape', 'T1'), { ...yes, two: 'two' }, here)
    expect(end.asked).toEqual([...Object.keys(yes), 'two'])
    expect(end).toMatchObject({
      say: [{ kind: 'OpeningTapeVerified', body: { tabulator: 'T1', byTwo: true } }],
    })
  })

  it('is rejected at the first that is not, with what is wrong, and never tells to keep the polls shut', () => {
    const given = { ...yes, 'not-zero': 'no', problems: ['not-zero', 'signatures'], what: '3 in one place' }
    const end = talkThrough(flow('tape', 'T1'), given, here)
    expect(end.asked).not.toContain('public-count')
    expect(end).toMatchObject({
      say: [
        {
          kind: 'OpeningTapeRejected',
          body: { problems: ['not-zero', 'signatures'], what: '3 in one place' },
        },
      ],
      done: { stop: true, phone: true },
    })
    const words = end.done?.lines?.join(' ') ?? ''
    expect(words).toContain('Polls still open at 11:30')
    expect(words).toContain('emergency slot')
  })

  it('that did not print needs no list of what is wrong', () => {
    const end = talkThrough(flow('tape', 'T1'), { 'not-printed': 'no', what: null }, here)
    expect(end).toMatchObject({ say: [{ body: { tabulator: 'T1', problems: ['not-printed'] } }] })
  })

  it('warns of a name in what the tape shows', () => {
    expect(talkThrough(flow('tape', 'T1'), { 'not-printed': 'no' }, here)).toMatchObject({
      open: { id: 'what', guard: true },
    })
  })
})

describe('opening and closing the polls', () => {
  it('before the legal hour says so and asks, and still takes the report', () => {
    const early = around(aDevicePlan({ slotOpen: true }), [], OPENS - 60_000)
    expect(talkThrough(flow('open'), {}, early)).toMatchObject({
      open: { ask: 'It is 11:29. Polls open by law at 11:30, not before. What is so?' },
    })
    expect(talkThrough(flow('open'), { open: 'yes' }, early)).toMatchObject({
      say: [{ kind: 'PollsOpened' }],
    })
  })

  it('asks about the slot only where a tabulator is in doubt', () => {
    const sound = around(aDevicePlan({ tapes: { T1: 'verified', T2: 'verified' } }))
    expect(talkThrough(flow('open'), { open: 'yes' }, sound)).toMatchObject({ say: [{ body: {} }] })
    expect(talkThrough(flow('open'), { open: 'yes' }, here)).toMatchObject({ open: { id: 'slot' } })
  })

  it('closing before the hour says so and asks', () => {
    const late = around(aDevicePlan({ polls: 'open' }), [], CLOSES - 60_000)
    const end = talkThrough(flow('close'), {}, late)
    expect(end).toMatchObject({ open: { ask: expect.stringContaining('not before') } })
  })
})

describe('counts', () => {
  const before = [said('CountsReported', { checkedIn: 240, ballotsLeft: 500, publicCount: { T1: 100 } })]
  const open = around(aDevicePlan({ polls: 'open' }), before)
  const all = { 'public:T1': 120, 'public:T2': null, more: 'no' }

  it('shows the last value and asks when a count goes backwards', () => {
    const end = talkThrough(flow('counts'), { ...all, checkedIn: 212 }, open)
    expect(end).toMatchObject({
      open: { id: 'checkedIn:sure', ask: '212 is less than 240 said before. Which is right?' },
    })
    expect(flow('counts')({}, open)).toMatchObject({ ask: { last: expect.stringContaining('240') } })
  })

  it('says a smaller count when the worker is sure', () => {
    const end = talkThrough(flow('counts'), { ...all, checkedIn: 212, 'checkedIn:sure': 'sure' }, open)
    expect(end).toMatchObject({ say: [{ body: { checkedIn: 212, publicCount: { T1: 120 } } }] })
  })

  it('asks about ballots left that grew', () => {
    const given = { ...all, checkedIn: 250, more: 'yes', ballotsLeft: 501 }
    expect(talkThrough(flow('counts'), given, open)).toMatchObject({ open: { id: 'ballotsLeft:sure' } })
  })

  it('a tabulator that took another one’s place starts anew', () => {
    const swapped = around(aDevicePlan({ polls: 'open' }), [
      ...before,
      said('EquipmentReplaced', { equipment: 'T1', by: 'T9' }),
    ])
    const end = talkThrough(
      flow('counts'),
      { checkedIn: 250, 'public:T9': 3, 'public:T2': null, more: 'no' },
      swapped,
    )
    expect(end).toMatchObject({ say: [{ body: { publicCount: { T9: 3 } } }] })
  })
})

describe('slot ballots', () => {
  it('asks when more come out than should be in', () => {
    const open = around(aDevicePlan({ polls: 'open', inSlot: 9 }))
    expect(talkThrough(flow('slot-fed'), { fed: 10, hand: null, over: null }, open)).toMatchObject({
      open: { id: 'sure' },
    })
  })
})
