import { describe, expect, it } from 'vitest'
import type { KeptReport } from '../../../app/live/outboxStore.ts'
import { nextUp } from '../../../app/precinct/nextUp.ts'
import { pageStateOf } from '../../../app/precinct/pageState.ts'
import { countDue, slotReminder } from '../../../app/precinct/reminders.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { aDevicePlan, CLOSES, OPENS, said } from './given.ts'

const words = wordsOf('en')
const HOUR = 60 * MINUTE
const at = (now: number) => ({
  now,
  time: (t: number) => new Date(t).toISOString().slice(11, 16),
  dayOf: Date.parse,
})

/** One device's day: reports one after another, and what the page then offers. */
function day(plan = { ...aDevicePlan(), closingContainers: ['return-bag'] }) {
  const reports: KeptReport[] = []
  return {
    say(kind: string, body: Record<string, unknown>, when: number) {
      reports.push(said(kind, body, { at: new Date(when).toISOString() }))
    },
    next: (now: number) =>
      nextUp(plan, pageStateOf(plan, 0, reports), at(now), words).next.map(a => a.screen),
    pressing: (now: number) =>
      nextUp(plan, pageStateOf(plan, 0, reports), at(now), words)
        .next.filter(a => a.now)
        .map(a => [a.screen, a.note]),
    page: () => pageStateOf(plan, 0, reports),
    plan,
  }
}

describe('what is next, from the first key to the last seal', () => {
  it('is right at every stage', () => {
    const d = day()
    expect(d.next(OPENS - HOUR).slice(0, 2)).toEqual(['flow/team', 'flow/locked'])
    d.say('TeamReported', { present: 9, missing: [] }, OPENS - HOUR)
    expect(d.next(OPENS - HOUR + 1)[0]).toBe('steps/opening')
    expect(d.next(OPENS - HOUR + 1)).not.toContain('flow/locked')
    for (const container of d.plan.containers)
      d.say('SealRecorded', { container, found: 'S1', state: 'intact' }, OPENS - 50 * MINUTE)
    expect(d.next(OPENS - 40 * MINUTE)).not.toContain('seals')
    d.say('StepCompleted', { step: 'box' }, OPENS - 40 * MINUTE)
    for (const tabulator of ['T1', 'T2']) d.say('OpeningTapeVerified', { tabulator }, OPENS - 30 * MINUTE)
    expect(d.next(OPENS - 20 * MINUTE)).toEqual(['flow/open', 'flow/help'])
    d.say('PollsOpened', {}, OPENS)

    expect(d.next(OPENS + MINUTE)[0]).toBe('flow/counts')
    expect(d.pressing(OPENS + HOUR)).toEqual([])
    expect(d.pressing(OPENS + 76 * MINUTE)).toEqual([['flow/counts', 'Due since 12:45']])
    d.say('CountsReported', { checkedIn: 90 }, OPENS + 77 * MINUTE)
    expect(d.pressing(OPENS + 78 * MINUTE)).toEqual([])

    const down = OPENS + 2 * HOUR
    d.say('EquipmentWentDown', { equipment: 'T1' }, down)
    expect(d.next(down + 1)[0]).toBe('flow/slot-opened')
    d.say('EmergencySlotOpened', {}, down + MINUTE)
    // Still down: the machine, and the slot may be locked, though it isn't pressed for.
    expect(d.next(down + 2 * MINUTE).slice(0, 2)).toEqual(['equipment', 'flow/slot-locked'])
    expect(d.pressing(down + 2 * MINUTE)).toEqual([])
    d.say('EquipmentRestored', { equipment: 'T1' }, down + 9 * MINUTE)
    expect(d.next(down + 10 * MINUTE)[0]).toBe('flow/slot-locked')
    expect(d.pressing(down + 10 * MINUTE)).toEqual([
      ['flow/slot-locked', 'The tabulator works: lock the slot now'],
    ])
    d.say('EmergencySlotLocked', { inSlot: 23 }, down + 11 * MINUTE)
    expect(d.pressing(down + 12 * MINUTE)).toEqual([
      ['flow/slot-fed', '23 ballots wait in the emergency slot'],
    ])

    expect(d.next(CLOSES - 10 * MINUTE).slice(0, 2)).toEqual(['flow/close', 'flow/counts'])
    d.say('PollsClosed', { stillInLine: 12 }, CLOSES)
    const evening = CLOSES + MINUTE
    expect(d.next(evening)).toEqual([
      'flow/last-voter',
      'flow/slot-fed',
      'steps/closing',
      'closing-tapes',
      'reconcile',
      'custody',
      'flow/depart',
      'flow/help',
    ])
    d.say('LastVoterServed', {}, evening)
    d.say('StepCompleted', { step: 'last-voter' }, evening)
    d.say('SlotBallotsFed', { fed: 20, handCounted: 2, handedOver: 1 }, evening)
    expect(d.next(evening + 1)[0]).toBe('steps/closing')
    for (const tabulator of ['T1', 'T2'])
      d.say('ClosingTapeSigned', { tabulator, publicCount: 400 }, evening + MINUTE)
    expect(d.next(evening + 2 * MINUTE)).not.toContain('closing-tapes')
    d.say('CountsReconciled', {}, evening + 3 * MINUTE)
    d.say('SealRecorded', { container: 'return-bag', found: 'R1', state: 'intact', act: 'applied' }, evening)
    d.say('StepCompleted', { step: 'pack' }, evening + 4 * MINUTE)
    expect(d.next(evening + 5 * MINUTE)).toEqual(['flow/depart', 'flow/help'])
    d.say('ReturnDeparted', { carriers: 2, items: [], seals: ['R1'] }, evening + 6 * MINUTE)
    expect(d.next(evening + 7 * MINUTE)).toEqual(['flow/incident', 'flow/help'])
    expect(d.page().left!.is).toMatchObject({ carriers: 2, seals: ['R1'] })
  })

  it('a tabulator out of use by its tape asks for the slot like one that is down', () => {
    const d = day({
      ...aDevicePlan({ polls: 'open', tapes: { T1: 'rejected', T2: 'verified' } }),
      closingContainers: [],
    })
    expect(d.next(OPENS + 1)[0]).toBe('flow/slot-opened')
  })

  it('at the legal hour says that it is time, with the slot where no tabulator is ready', () => {
    const open = (has: Parameters<typeof aDevicePlan>[0], withSlot = true) => {
      const plan = aDevicePlan(has)
      return day({ ...plan, closingContainers: [], page: { ...plan.page, openWithSlot: withSlot } })
    }
    expect(open({}).pressing(OPENS - 1)).toEqual([])
    const note = (d: ReturnType<typeof day>) => Object.fromEntries(d.pressing(OPENS))['flow/open']
    expect(note(open({ tapes: { T1: 'verified' } }))).toBe('It is time: open the polls')
    expect(note(open({ tapes: { T1: 'verified' }, down: ['T1'] }))).toBe(
      'It is time: open with the emergency slot',
    )
    expect(note(open({}, false))).toBe('It is time: open as your county’s procedure says')
  })

  it('says beside the opening tape which tabulator is out of use by it', () => {
    const plan = aDevicePlan({ tapes: { T1: 'verified', T2: 'rejected' } })
    const { next } = nextUp(plan, pageStateOf(plan, 0, []), at(OPENS - HOUR), words)
    expect(next.find(a => a.screen === 'tapes')!.note).toBe('Rejected, out of use: Tabulator 2')
  })

  it('a count that is due comes before what can wait, and after what can’t', () => {
    const waiting = day(aDevicePlan({ polls: 'open', inSlot: 4 }))
    expect(waiting.next(OPENS + HOUR)[0]).toBe('flow/slot-fed')
    expect(waiting.next(OPENS + 2 * HOUR)[0]).toBe('flow/counts')
    const open = day(aDevicePlan({ polls: 'open', slotOpen: true }))
    expect(open.next(OPENS + 2 * HOUR).slice(0, 2)).toEqual(['flow/slot-locked', 'flow/counts'])
  })

  it('curbside and provisional counts are reached directly, and every action has a heading', () => {
    const plan = aDevicePlan({ polls: 'open' })
    const { next, more } = nextUp(plan, pageStateOf(plan, 0, []), at(OPENS), words)
    const screens = more.map(a => a.screen)
    expect(screens).toEqual(
      expect.arrayContaining(['flow/count-curbside', 'flow/count-provisional', 'flow/move', 'custody']),
    )
    for (const action of [...next, ...more]) expect(Object.keys(words.home.groups)).toContain(action.group)
  })
})

describe('reminders', () => {
  const page = (plan: ReturnType<typeof aDevicePlan>, reports: KeptReport[] = []) =>
    pageStateOf(plan, 0, reports)

  it('a count is due countEveryMinutes after the last one, by whom ever, and only while polls are open', () => {
    const plan = aDevicePlan({ polls: 'open', checkedIn: 5, countedAt: new Date(OPENS + HOUR).toISOString() })
    const due = OPENS + HOUR + 75 * MINUTE
    expect(countDue(plan, page(plan), at(due))).toBeNull()
    expect(countDue(plan, page(plan), at(due + 1))).toBe(due)
    const closed = aDevicePlan({ polls: 'closed' })
    expect(countDue(closed, page(closed), at(CLOSES + 5 * HOUR))).toBeNull()
  })

  it('another count doesn’t stand for the voters checked in', () => {
    const plan = aDevicePlan({ polls: 'open' })
    const curbside = said(
      'CountsReported',
      { curbside: 3 },
      { at: new Date(OPENS + 70 * MINUTE).toISOString() },
    )
    expect(countDue(plan, page(plan, [curbside]), at(OPENS + 76 * MINUTE))).toBe(OPENS + 75 * MINUTE)
  })

  it('the slot is thought of every slotReminderMinutes while ballots lie in it', () => {
    const plan = aDevicePlan({ polls: 'open' })
    const from = OPENS + HOUR
    const locked = said('EmergencySlotLocked', { inSlot: 23 }, { at: new Date(from).toISOString() })
    const reminder = (minutes: number, reports = [locked]) =>
      slotReminder(plan, page(plan, reports), at(from + minutes * MINUTE))
    expect(reminder(19)).toBeNull()
    expect(reminder(20)).toBe(from + 20 * MINUTE)
    expect(reminder(59)).toBe(from + 40 * MINUTE)
    const fed = said(
      'SlotBallotsFed',
      { fed: 23, handCounted: 0, handedOver: 0 },
      { at: new Date(from + MINUTE).toISOString() },
    )
    expect(reminder(59, [locked, fed])).toBeNull()
    const never = { ...plan, page: { ...plan.page, slotReminderMinutes: 0 } }
    expect(slotReminder(never, page(never, [locked]), at(from + HOUR))).toBeNull()
  })
})
