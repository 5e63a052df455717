import { describe, expect, it } from 'vitest'
import { looksLikeVoter } from '../../../app/parts/voterGuard.ts'
import { nextUp } from '../../../app/precinct/nextUp.ts'
import { pageStateOf } from '../../../app/precinct/pageState.ts'
import { stepTitle } from '../../../app/precinct/planSteps.ts'
import { stepList } from '../../../app/precinct/steps.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import { aDevicePlan, CLOSES, OPENS, said } from './given.ts'

const PLAN_AT = 1_000
const state = (plan = aDevicePlan(), reports: Parameters<typeof pageStateOf>[2] = []) =>
  pageStateOf(plan, PLAN_AT, reports)

describe('a step’s title', () => {
  it('in Spanish is the plan’s, else what the step of its guide is usually called', () => {
    const [step] = aDevicePlan().steps
    const es = wordsOf('es')
    expect(stepTitle({ ...step!, guide: 'tape', titleEs: 'Cinta lista' }, es)).toBe('Cinta lista')
    expect(stepTitle({ ...step!, guide: 'tape' }, es)).toBe('Cinta de apertura impresa y verificada')
    expect(stepTitle({ ...step!, guide: 'tape' }, wordsOf('en'))).toBe(step!.title)
    expect(stepTitle(step!, es)).toBe(step!.title)
  })
})

describe('what the page knows', () => {
  it('is what the office has while this device said nothing', () => {
    const page = state(
      aDevicePlan({ polls: 'open', standing: 'open', checkedIn: 80, down: ['T1'], slotOpen: true }),
    )
    expect(page).toMatchObject({ polls: 'open', standing: 'open', down: ['T1'], slotOpen: true })
    expect(page.counts.checkedIn).toEqual({ is: 80, at: null })
  })

  it('adds what waits here at once', () => {
    const page = state(aDevicePlan(), [
      said('PollsOpened', {}),
      said('EquipmentWentDown', { equipment: 'T1' }),
    ])
    expect(page).toMatchObject({ polls: 'open', standing: 'open', down: ['T1'] })
  })

  it('counts what was dealt with after the plan came, and leaves the office its newer word on what came before', () => {
    const plan = aDevicePlan({ down: [] })
    const before = said('EquipmentWentDown', { equipment: 'T1' }, { dealtAt: PLAN_AT - 1 })
    const after = said('EquipmentWentDown', { equipment: 'T2' }, { dealtAt: PLAN_AT + 1 })
    expect(state(plan, [before, after]).down).toEqual(['T2'])
  })

  it('leaves aside what was refused, mended or left', () => {
    const reports = (['refused', 'mended', 'left'] as const).map(s => said('PollsOpened', {}, { state: s }))
    expect(state(aDevicePlan(), reports).polls).toBe('not-open')
  })

  it('is the same in whatever order the reports stand in the list', () => {
    const reports = [
      said('CountsReported', { checkedIn: 100 }),
      said('CountsReported', { checkedIn: 160 }),
      said('PollsOpened', {}),
      said('EmergencySlotOpened', {}),
      said('EmergencySlotLocked', { inSlot: 9 }),
      said('SlotBallotsFed', { fed: 4, handCounted: 0, handedOver: 0 }),
    ]
    const forward = state(aDevicePlan(), reports)
    expect(state(aDevicePlan(), [...reports].reverse())).toEqual(forward)
    expect(forward.counts.checkedIn?.is).toBe(160)
    expect(forward.inSlot).toBe(5)
    expect(forward.slotOpen).toBe(false)
  })

  it('opens the slot with the polls where it was opened with them', () => {
    expect(state(aDevicePlan(), [said('PollsOpened', { withSlot: true })]).slotOpen).toBe(true)
  })

  it('completes a step by the report that stands for it, and takes the tape step back on a rejection', () => {
    const seals = ['ballot-box', 'tabulator-door'].map(container =>
      said('SealRecorded', { container, found: 'S1', state: 'intact' }),
    )
    const verified = ['T1', 'T2'].map(tabulator => said('OpeningTapeVerified', { tabulator }))
    const reports = [said('TeamReported', { present: 9, missing: [] }), ...seals, ...verified]
    expect([...state(aDevicePlan(), reports).stepsDone].sort()).toEqual(['seals', 'tape', 'team'])
    const rejected = said('OpeningTapeRejected', { tabulator: 'T2', problems: ['not-zero'] })
    expect(state(aDevicePlan(), [...reports, rejected]).stepsDone.has('tape')).toBe(false)
  })

  it('holds the step of the seals open while one of them is wrong, until the polls open', () => {
    const wrong = {
      steps: ['seals'],
      seals: ['ballot-box', 'tabulator-door'],
      sealsWrong: ['ballot-box'],
    }
    expect(state(aDevicePlan(wrong), []).stepsDone.has('seals')).toBe(false)
    expect(state(aDevicePlan({ ...wrong, polls: 'open' }), []).stepsDone.has('seals')).toBe(true)
    expect(state(aDevicePlan({ ...wrong, sealsWrong: [] }), []).stepsDone.has('seals')).toBe(true)
  })

  it('says ready when every opening step is done, closing and closed as the board does', () => {
    const ready = aDevicePlan({ standing: 'setting-up', steps: ['team', 'seals', 'box', 'tape'] })
    expect(state(ready).standing).toBe('ready')
    const closed = [
      said('PollsClosed', {}),
      said('StepCompleted', { step: 'last-voter' }),
      said('ClosingTapeSigned', { tabulator: 'T1', publicCount: 1 }),
      said('ClosingTapeSigned', { tabulator: 'T2', publicCount: 1 }),
    ]
    expect(state(ready, closed).standing).toBe('closing')
    expect(state(ready, [...closed, said('StepCompleted', { step: 'pack' })]).standing).toBe('closed')
    expect(state(aDevicePlan({ departed: true })).standing).toBe('returning')
  })

  it('a tabulator in another one’s place has a count of its own', () => {
    const page = state(aDevicePlan({ down: ['T1'] }), [
      said('EquipmentReplaced', { equipment: 'T1', by: 'T9' }),
    ])
    expect(page.replaced).toEqual({ T1: 'T9' })
    expect(page.down).toEqual([])
    expect(page.publicCount.T9).toBeUndefined()
  })
})

describe('a new tablet in the middle of the day', () => {
  const has = {
    polls: 'open',
    team: { present: 8, missing: 1 },
    spoiled: 4,
    provisional: 6,
    curbside: 2,
    inLine: 11,
    publicCount: { T9: 88, T2: 120 },
    replaced: { T1: 'T9' },
    closingTapes: ['T2'],
    reconciled: true,
    placeMoved: true,
    sealsWrong: ['ballot-box'],
    sealWork: [
      { at: '2026-11-03T10:00:00Z', container: 'ballot-box', act: 'found', number: 'X', state: 'intact' },
    ],
  } satisfies Parameters<typeof aDevicePlan>[0]
  const plan = () => aDevicePlan(has)

  it('goes on from what the office has', () => {
    const page = state(plan())
    expect(page).toMatchObject({
      teamHere: { present: 8, missing: 1 },
      replaced: { T1: 'T9' },
      publicCount: { T9: { is: 88, at: null }, T2: { is: 120, at: null } },
      reconciled: true,
      placeMoved: true,
      sealTrouble: ['ballot-box'],
    })
    expect([...page.closingTapes]).toEqual(['T2'])
    expect(page.counts).toEqual({
      spoiled: { is: 4, at: null },
      provisional: { is: 6, at: null },
      curbside: { is: 2, at: null },
      inLine: { is: 11, at: null },
    })
    expect(page.stepsDone.has('team')).toBe(true)
  })

  it('what it says since is newer, and the office’s word on what it said before stands', () => {
    const reports = [
      said('CountsReported', { spoiled: 3, publicCount: { T2: 100 } }, { dealtAt: PLAN_AT - 1 }),
      said('CountsReported', { provisional: 7, publicCount: { T9: 90 } }),
      said('TeamReported', { present: 9, missing: [] }),
    ]
    const page = state(plan(), reports)
    expect(page.counts.spoiled).toEqual({ is: 4, at: null })
    expect(page.counts.provisional?.is).toBe(7)
    expect([page.publicCount.T2!.is, page.publicCount.T9!.is]).toEqual([120, 90])
    expect(page.teamHere).toEqual({ present: 9, missing: 0 })
  })

  it('a seal that was wrong is right again when it is looked at again', () => {
    const seen = said('SealRecorded', { container: 'ballot-box', found: 'E100', state: 'intact' })
    const known = { ...plan(), sealPrints: { 'ballot-box': sealPrint('ellery', 'ballot-box', 'E100') } }
    expect(state(known, [seen]).sealTrouble).toEqual([])
    const other = said('SealRecorded', { container: 'tabulator-door', found: 'D1', state: 'broken' })
    expect(state(known, [seen, other]).sealTrouble).toEqual(['tabulator-door'])
  })

  it('the day ends when the office has received the return', () => {
    expect(state(aDevicePlan({ received: true, departed: true })).standing).toBe('received')
  })
})

describe('opening steps', () => {
  it('offers only what can be done, and says what the others wait for', () => {
    const plan = aDevicePlan()
    const fresh = stepList(plan, state(plan), 'opening')
    expect(fresh.doable.map(s => s.code)).toEqual(['team'])
    expect(fresh.later.map(l => [l.step.code, l.waitsFor.map(s => s.code)])).toEqual([
      ['seals', ['team']],
      ['box', ['seals']],
      ['tape', ['box']],
    ])
  })

  it('a wrong seal and a rejected tape keep nothing else waiting: the office decides about them', () => {
    const plan = aDevicePlan({
      steps: ['team'],
      seals: ['ballot-box', 'tabulator-door'],
      sealsWrong: ['tabulator-door'],
    })
    const { done, doable, later } = stepList(plan, state(plan), 'opening')
    expect(done.map(s => s.code)).toEqual(['team'])
    expect(doable.map(s => s.code)).toEqual(['seals', 'box'])
    expect(later.map(l => l.step.code)).toEqual(['tape'])
    const half = aDevicePlan({ steps: ['team'], seals: ['tabulator-door'], sealsWrong: ['tabulator-door'] })
    expect(stepList(half, state(half), 'opening').doable.map(s => s.code)).toEqual(['seals'])
  })

  it('leaves out a step about seals where the precinct has none', () => {
    const plan = { ...aDevicePlan(), containers: [] }
    expect(stepList(plan, state(plan), 'opening').doable.map(s => s.code)).toEqual(['team', 'box'])
  })
})

describe('what is next', () => {
  const times = { time: () => '', dayOf: (at: string) => Date.parse(at) }
  const titles = (plan = aDevicePlan(), now = OPENS, reports: Parameters<typeof pageStateOf>[2] = []) =>
    nextUp(plan, state(plan, reports), { ...times, now }, wordsOf('en')).next.map(a => a.screen)

  it('puts opening first at the legal hour, whatever is still undone', () => {
    const plan = aDevicePlan({ tapes: { T1: 'rejected' } })
    expect(titles(plan, OPENS - 60 * 60_000)).not.toContain('flow/open')
    expect(titles(plan, OPENS)[0]).toBe('flow/open')
  })

  it('offers the slot while a tabulator is down, locking while it is open, feeding while ballots are in it', () => {
    expect(titles(aDevicePlan({ polls: 'open', down: ['T1'] }))[0]).toBe('flow/slot-opened')
    expect(titles(aDevicePlan({ polls: 'open', slotOpen: true }))[0]).toBe('flow/slot-locked')
    expect(titles(aDevicePlan({ polls: 'open', inSlot: 4 }))[0]).toBe('flow/slot-fed')
  })

  it('puts closing first when the hour is near, and a count that is due is marked', () => {
    const plan = aDevicePlan({ polls: 'open' })
    expect(titles(plan, CLOSES)[0]).toBe('flow/close')
    const due = nextUp(plan, state(plan), { ...times, now: OPENS + 76 * 60_000 }, wordsOf('en'))
    expect(due.next.find(a => a.screen === 'flow/counts')?.now).toBe(true)
  })

  it('keeps nothing from a worker: what is not next is among the others', () => {
    const plan = aDevicePlan()
    const { next, more } = nextUp(plan, state(plan), { ...times, now: OPENS }, wordsOf('en'))
    const all = [...next, ...more].map(a => a.screen)
    expect(new Set(all).size).toBe(all.length)
    expect(all).toEqual(expect.arrayContaining(['flow/close', 'flow/depart', 'flow/counts', 'flow/suspend']))
  })
})

describe('words that look like a voter', () => {
  it.each([
    ['Call her at 555-0142', 'phone'],
    ['5558675309, ann miller', 'phone'],
    ['+1(555)8675309 again', 'phone'],
    ['wrote to a.b@example.org', 'email'],
    ['lives at 12 Mill Pond Road', 'address'],
    ['Mrs. Miller was upset', 'name'],
    ['a voter named Ann', 'name'],
    ['Ann Miller left without voting', 'name'],
    ['La señora Peña se fue', 'name'],
    ['El Sr. Ortega no está en la lista', 'name'],
    ['Voter Miller came back', 'name'],
    ['una votante García', 'name'],
    ['the voter ann miller left', 'name'],
    ['mrs miller was upset', 'name'],
    ['María de la Cruz se fue', 'name'],
    ['said by ANN MILLER', 'name'],
    ['MR. MILLER WAS UPSET', 'name'],
  ])('%s', (text, looks) => {
    expect(looksLikeVoter(text)).toBe(looks)
  })

  it('a place’s name hides only itself', () => {
    const known = ['Mill', 'Mill School (old)']
    expect(looksLikeVoter('Mrs. Miller was upset', known)).toBe('name')
    expect(looksLikeVoter('lives at 12 Mill Pond Road', known)).toBe('address')
    expect(looksLikeVoter('Door of Mill School (old) is shut', known)).toBeNull()
  })

  it.each([
    'Paper jam, message 1042 on the screen',
    'Water on Main Street, entrance blocked',
    'Harbor Hall has no power since 9:12',
    'Seal 0048213 is whole',
    'A voter left without casting a ballot',
    'We miss two workers',
    'The Ballot Box is full, the Emergency Slot is open',
    'La Ranura de Emergencia está abierta',
    'PAPER JAM on the screen',
    'La señora de la entrada se fue',
    'Voter waited, then voted',
  ])('not: %s', text => {
    expect(looksLikeVoter(text, ['Harbor Hall'])).toBeNull()
  })
})
