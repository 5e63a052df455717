import { describe, expect, it } from 'vitest'
import { checkReport } from '../../../app/live/outboxCheck.ts'
import type { Answer, Answers, Around, Flow } from '../../../app/precinct/asking/question.ts'
import { flowOf, screenOf } from '../../../app/precinct/flows/flows.ts'
import { aDevicePlan, around, CLOSES, OPENS, said } from './given.ts'

/** Answers in the order of asking; gives what is said, or the id of the question that is open. */
function talk(flow: Flow, given: Record<string, Answer>, here: Around) {
  let answers: Answers = {}
  const asked: string[] = []
  for (let i = 0; i < 40; i++) {
    const step = flow(answers, here)
    if ('say' in step) return { asked, ...step }
    asked.push(step.ask.id)
    if (!(step.ask.id in given)) return { asked, open: step.ask }
    answers = { ...answers, [step.ask.id]: given[step.ask.id] }
  }
  throw new Error('the conversation has no end')
}
const here = around(aDevicePlan())
const flow = (name: string, what?: string) => flowOf(name, what)!

describe('every conversation ends in reports that the office takes', () => {
  const open = around(aDevicePlan({ polls: 'open', down: ['T2'], slotOpen: true, inSlot: 9 }))
  const cases: Array<[string, string | undefined, Record<string, Answer>, Around, string[]]> = [
    ['team', undefined, { present: 8, missing: ['greeter'], 'many:greeter': 1 }, here, ['TeamReported']],
    ['step', 'box', { done: 'yes' }, here, ['StepCompleted']],
    ['seal', 'ballot-box', { state: 'intact', found: 'E1' }, here, ['SealRecorded']],
    ['seal', 'ballot-box', { state: 'missing' }, here, ['SealRecorded']],
    ['open', undefined, { open: 'yes', slot: 'yes' }, here, ['PollsOpened']],
    ['line', undefined, { inLine: 12, stations: 3 }, open, ['LineReported']],
    ['equipment', 'T1', { stopped: 'yes', what: null }, open, ['EquipmentWentDown']],
    ['equipment', 'T2', { works: 'same' }, open, ['EquipmentRestored']],
    ['equipment', 'T2', { works: 'other', by: 'T9' }, open, ['EquipmentReplaced']],
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
    ['box', undefined, { reason: 'remove', two: 'two', note: null }, open, ['BallotBoxOpened']],
    ['box', undefined, { reason: 'straighten', two: 'one', note: 'new seal' }, open, ['BallotBoxOpened']],
    ['suspend', undefined, { cause: 'power', what: 'no light' }, open, ['PollsSuspended']],
    ['resume', undefined, { resume: 'yes' }, open, ['PollsResumed']],
    ['close', undefined, { closed: 'yes', inLine: 4 }, open, ['PollsClosed']],
    ['last-voter', undefined, { last: 'yes' }, open, ['LastVoterServed', 'StepCompleted']],
    ['closing-tape', 'T1', { publicCount: 300, two: 'two' }, open, ['ClosingTapeSigned']],
    ['depart', undefined, { carriers: 2, items: ['tapes'], seals: 'E1\n\n E2 ' }, open, ['ReturnDeparted']],
  ]
  it.each(cases)('%s %s', (name, what, given, at, kinds) => {
    const end = talk(flow(name, what), given, at)
    if (!('say' in end)) throw new Error(`still asks ${end.open.id}`)
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
    const end = talk(flow('tape', 'T1'), { ...yes, two: 'two' }, here)
    expect(end.asked).toEqual([...Object.keys(yes), 'two'])
    expect(end).toMatchObject({
      say: [{ kind: 'OpeningTapeVerified', body: { tabulator: 'T1', byTwo: true } }],
    })
  })

  it('is rejected at the first that is not, with what is wrong, and never tells to keep the polls shut', () => {
    const given = { ...yes, 'not-zero': 'no', problems: ['not-zero', 'signatures'], what: '3 in one place' }
    const end = talk(flow('tape', 'T1'), given, here)
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
    const words = 'done' in end ? end.done.lines!.join(' ') : ''
    expect(words).toContain('Polls still open at 11:30')
    expect(words).toContain('emergency slot')
  })

  it('that did not print needs no list of what is wrong', () => {
    const end = talk(flow('tape', 'T1'), { 'not-printed': 'no', what: null }, here)
    expect(end).toMatchObject({ say: [{ body: { tabulator: 'T1', problems: ['not-printed'] } }] })
  })
})

describe('opening and closing the polls', () => {
  it('before the legal hour says so and asks, and still takes the report', () => {
    const early = around(aDevicePlan({ slotOpen: true }), [], OPENS - 60_000)
    expect(talk(flow('open'), {}, early)).toMatchObject({
      open: { ask: 'It is 11:29. Polls open by law at 11:30, not before. What is so?' },
    })
    expect(talk(flow('open'), { open: 'yes' }, early)).toMatchObject({ say: [{ kind: 'PollsOpened' }] })
  })

  it('asks about the slot only where a tabulator is in doubt', () => {
    const sound = around(aDevicePlan({ tapes: { T1: 'verified', T2: 'verified' } }))
    expect(talk(flow('open'), { open: 'yes' }, sound)).toMatchObject({ say: [{ body: {} }] })
    expect(talk(flow('open'), { open: 'yes' }, here)).toMatchObject({ open: { id: 'slot' } })
  })

  it('closing before the hour says so and asks', () => {
    const late = around(aDevicePlan({ polls: 'open' }), [], CLOSES - 60_000)
    const end = talk(flow('close'), {}, late)
    expect(end).toMatchObject({ open: { ask: expect.stringContaining('not before') } })
  })
})

describe('counts', () => {
  const before = [said('CountsReported', { checkedIn: 240, ballotsLeft: 500, publicCount: { T1: 100 } })]
  const open = around(aDevicePlan({ polls: 'open' }), before)
  const all = { 'public:T1': 120, 'public:T2': null, more: 'no' }

  it('shows the last value and asks when a count goes backwards', () => {
    const end = talk(flow('counts'), { ...all, checkedIn: 212 }, open)
    expect(end).toMatchObject({
      open: { id: 'checkedIn:sure', ask: '212 is less than 240 said before. Which is right?' },
    })
    expect(flow('counts')({}, open)).toMatchObject({ ask: { last: expect.stringContaining('240') } })
  })

  it('says a smaller count when the worker is sure', () => {
    const end = talk(flow('counts'), { ...all, checkedIn: 212, 'checkedIn:sure': 'sure' }, open)
    expect(end).toMatchObject({ say: [{ body: { checkedIn: 212, publicCount: { T1: 120 } } }] })
  })

  it('asks about ballots left that grew', () => {
    const given = { ...all, checkedIn: 250, more: 'yes', ballotsLeft: 501 }
    expect(talk(flow('counts'), given, open)).toMatchObject({ open: { id: 'ballotsLeft:sure' } })
  })

  it('a tabulator that took another one’s place starts anew', () => {
    const swapped = around(aDevicePlan({ polls: 'open' }), [
      ...before,
      said('EquipmentReplaced', { equipment: 'T1', by: 'T9' }),
    ])
    const end = talk(
      flow('counts'),
      { checkedIn: 250, 'public:T9': 3, 'public:T2': null, more: 'no' },
      swapped,
    )
    expect(end).toMatchObject({ say: [{ body: { publicCount: { T9: 3 } } }] })
  })
})

describe('reconciling', () => {
  // North Carolina county sheet of 2023-11-07: 5400 delivered, 4256 left, 6 not scanned, scanner 1138 = check-ins 1138.
  const sheet = {
    delivered: 5_400,
    left: 4_256,
    tabulated: 1_138,
    inSlot: 0,
    spoiled: 6,
    provisional: 0,
    challenged: 0,
    checkedIn: 1_138,
    two: 'two',
  }
  it('asks for no explanation where the numbers agree', () => {
    expect(talk(flow('reconcile'), sheet, here)).toMatchObject({
      say: [{ kind: 'CountsReconciled' }],
      done: { lines: [] },
    })
  })
  it('asks what explains a difference, and takes "it is not explained"', () => {
    expect(talk(flow('reconcile'), { ...sheet, spoiled: 5 }, here)).toMatchObject({
      open: { id: 'explanation' },
    })
    const end = talk(flow('reconcile'), { ...sheet, spoiled: 5, explanation: null }, here)
    expect(end).toMatchObject({ say: [{ body: { spoiled: 5 } }] })
  })
})

describe('slot ballots', () => {
  it('asks when more come out than should be in', () => {
    const open = around(aDevicePlan({ polls: 'open', inSlot: 9 }))
    expect(talk(flow('slot-fed'), { fed: 10, hand: null, over: null }, open)).toMatchObject({
      open: { id: 'sure' },
    })
  })
})
