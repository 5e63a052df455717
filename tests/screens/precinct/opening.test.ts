import { describe, expect, it } from 'vitest'
import { checkReport } from '../../../app/live/outboxCheck.ts'
import { twoBody } from '../../../app/precinct/asking/question.ts'
import { flowOf } from '../../../app/precinct/flows/flows.ts'
import { tabulatorOf, tabulatorsOut } from '../../../app/precinct/outOfUse.ts'
import { stepTimes } from '../../../app/precinct/stepTimes.ts'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { aDevicePlan, around, said } from './given.ts'
import { talkThrough } from './talk.ts'

const BOX = 'E480 112'
const DOOR = 'E673061'
function sealed(has: Partial<DevicePlan['has']> = {}, byTwo = false): DevicePlan {
  const plan = aDevicePlan(has)
  return {
    ...plan,
    sealPrints: {
      'ballot-box': sealPrint(plan.day, 'ballot-box', BOX),
      'tabulator-door': sealPrint(plan.day, 'tabulator-door', DOOR),
    },
    steps: plan.steps.map(s => (s.code === 'seals' ? { ...s, byTwo } : s)),
  }
}
const seal = (container: string) => flowOf('seal', container)!

describe('a seal', () => {
  it('that is expected is typed once, with other spaces and small letters too', () => {
    const end = talkThrough(seal('ballot-box'), { found: ' e480112', state: 'intact' }, around(sealed()))
    expect(end).toMatchObject({
      asked: ['found', 'state'],
      say: [{ kind: 'SealRecorded', body: { container: 'ballot-box', found: 'e480112', state: 'intact' } }],
      done: { lines: ['The number is the one expected.'] },
    })
  })

  it('that differs is typed again; a slip is mended, and the second number is what is recorded', () => {
    const given = { found: 'E480113', again: BOX, state: 'intact' }
    const end = talkThrough(seal('ballot-box'), given, around(sealed()))
    expect(end).toMatchObject({ asked: ['found', 'again', 'state'], say: [{ body: { found: BOX } }] })
    expect(end.done?.stop).toBeFalsy()
  })

  it('that still differs is recorded as it is and stops the work; polls still open', () => {
    const given = { found: 'E480113', again: 'E480113', state: 'intact' }
    const end = talkThrough(seal('ballot-box'), given, around(sealed()))
    expect(end).toMatchObject({ say: [{ body: { found: 'E480113' } }], done: { stop: true, phone: true } })
    const lines = end.done?.lines?.join(' ') ?? ''
    expect(lines).toContain('not the one expected')
    expect(lines).toContain('Polls still open at 11:30')
    expect(lines).not.toContain('Tabulator')
  })

  it('of a tabulator takes that tabulator out of use', () => {
    const given = { found: 'E1', again: 'E1', state: 'intact' }
    const end = talkThrough(seal('tabulator-door'), given, around(sealed()))
    expect(end.done?.lines).toContain('Keep Tabulator 1 out of use: its seal is not right.')
    const found = said('SealRecorded', { container: 'tabulator-door', found: 'E1', state: 'intact' })
    const after = around(sealed({ tapes: { T1: 'verified', T2: 'verified' } }), [found])
    expect([...tabulatorsOut(after.plan, after.page)]).toEqual([['T1', 'seal']])
    expect(talkThrough(flowOf('tape', 'T1')!, {}, after)).toMatchObject({ open: { id: 'out' } })
    expect(talkThrough(flowOf('tape', 'T2')!, {}, after)).toMatchObject({ open: { id: 'not-printed' } })
    expect(talkThrough(flowOf('open', undefined)!, { open: 'yes' }, after)).toMatchObject({
      open: { id: 'slot', help: expect.stringContaining('Tabulator 1') },
    })
  })

  it('is compared by the office where this page has no print of it', () => {
    const end = talkThrough(seal('ballot-box'), { found: 'E9', state: 'intact' }, around(aDevicePlan()))
    expect(end).toMatchObject({ asked: ['found', 'state'] })
    expect(end.done?.lines).toEqual(['The office compares the number with its record.'])
  })

  it('that is missing or unreadable is said as such and stops the work', () => {
    const end = talkThrough(seal('ballot-box'), { found: null, state: 'missing' }, around(sealed()))
    expect(end).toMatchObject({
      say: [{ body: { found: 'none', state: 'missing' } }],
      done: { stop: true, phone: true },
    })
  })

  it('is confirmed by two once, with the last of them, where the step wants two', () => {
    const first = talkThrough(seal('ballot-box'), { found: BOX, state: 'intact' }, around(sealed({}, true)))
    expect(first).toMatchObject({ asked: ['found', 'state'], say: [{ kind: 'SealRecorded' }] })
    const box = said('SealRecorded', { container: 'ballot-box', found: BOX, state: 'intact' })
    const given = { found: DOOR, state: 'intact', two: 'two-differ' }
    const last = talkThrough(seal('tabulator-door'), given, around(sealed({}, true), [box]))
    expect(last).toMatchObject({
      say: [
        { kind: 'SealRecorded' },
        { kind: 'StepCompleted', body: { step: 'seals', byTwo: true, partiesDiffer: true } },
      ],
    })
    const wrong = said('SealRecorded', { container: 'ballot-box', found: 'E0', state: 'intact' })
    const amiss = talkThrough(seal('tabulator-door'), given, around(sealed({}, true), [wrong]))
    expect(amiss).toMatchObject({ asked: ['found', 'state'], say: [{ kind: 'SealRecorded' }] })
  })

  it('that is read again and right is confirmed by two, until two have confirmed', () => {
    const recorded = (container: string, found: string) =>
      said('SealRecorded', { container, found, state: 'intact' })
    const before = [recorded('ballot-box', 'E0'), recorded('tabulator-door', DOOR)]
    const given = { found: BOX, state: 'intact', two: 'two' }
    const mended = talkThrough(seal('ballot-box'), given, around(sealed({}, true), before))
    expect(mended.say).toMatchObject([
      { kind: 'SealRecorded' },
      { kind: 'StepCompleted', body: { step: 'seals', byTwo: true } },
    ])
    const right = [...before, recorded('ballot-box', BOX)]
    const alone = [...right, said('StepCompleted', { step: 'seals', byTwo: false })]
    expect(talkThrough(seal('ballot-box'), given, around(sealed({}, true), alone)).asked).toContain('two')
    const both = [...alone, said('StepCompleted', { step: 'seals', byTwo: true })]
    expect(talkThrough(seal('ballot-box'), given, around(sealed({}, true), both)).asked).not.toContain('two')
  })
})

describe('the tabulator of a container', () => {
  it.each([
    ['tabulator-door', 'T1'],
    ['memory-device', 'T1'],
    ['tabulator-door-2', 'T2'],
    ['memory-2', 'T2'],
    ['tabulator-door-3', null],
    ['tabulator-door-0', null],
    ['ballot-box', null],
    ['ballot-box-2', null],
  ])('%s: %s', (container, tag) => expect(tabulatorOf(aDevicePlan(), container)).toBe(tag))

  it('another machine in its place has seals of its own', () => {
    const here = around(sealed({ sealsWrong: ['tabulator-door'], replaced: { T1: 'T9' } }))
    expect(tabulatorsOut(here.plan, here.page).size).toBe(0)
  })
})

describe('the opening tape', () => {
  const rejected = (over: Partial<DevicePlan> = {}) => {
    const end = talkThrough(
      flowOf('tape', 'T1')!,
      { 'not-printed': 'no', what: null },
      around({ ...aDevicePlan(), ...over }),
    )
    if (!end.say || !end.done) throw new Error(`still asks ${end.open?.id}`)
    return end.done
  }
  const page = aDevicePlan().page
  it('rejected: slot or county’s procedure, as the policy has it', () => {
    expect(rejected().lines).toContain('If no tabulator is ready, open with the emergency slot.')
    const asCounty = rejected({ page: { ...page, openWithSlot: false } })
    expect(asCounty.lines!.join(' ')).toContain('as your county’s procedure says')
    expect(asCounty.lines!.join(' ')).not.toContain('emergency slot')
    expect(asCounty.lines!.join(' ')).toContain('Polls still open at 11:30')
    expect(asCounty.told).toBe('the tape does not print')
  })
  it('rejected when polls are open: nothing about opening', () => {
    const lines = rejected({ has: { ...aDevicePlan().has, polls: 'open' } }).lines!.join(' ')
    expect(lines).not.toContain('Polls still open')
    expect(lines).toContain('Keep this tabulator out of use')
  })
  it('another tabulator is asked about by itself', () => {
    const here = around(aDevicePlan({ tapes: { T1: 'rejected' } }))
    expect([...tabulatorsOut(here.plan, here.page)]).toEqual([['T1', 'tape']])
    expect(talkThrough(flowOf('tape', 'T2')!, {}, here)).toMatchObject({ open: { help: 'Tabulator 2' } })
  })
})

describe('opening with no tabulator ready', () => {
  const help = (openWithSlot: boolean) => {
    const plan = aDevicePlan()
    const end = talkThrough(
      flowOf('open', undefined)!,
      { open: 'yes' },
      around({ ...plan, page: { ...plan.page, openWithSlot } }),
    )
    return end.open?.help
  }
  it('asks for the slot, or as the county’s procedure says', () => {
    expect(help(true)).toContain('open with the emergency slot')
    expect(help(false)).toContain('as your county’s procedure says')
  })
})

describe('the team', () => {
  const given = {
    present: 7,
    missing: ['precinct lead', 'greeter'],
    'many:precinct lead': 1,
    'many:greeter': 2,
  }
  it('asks for standby workers by the plan’s names of the roles', () => {
    const end = talkThrough(flowOf('team', undefined)!, { ...given, standby: 'yes' }, around(aDevicePlan()))
    if (!end.say || !end.done) throw new Error(`still asks ${end.open?.id}`)
    expect(end.say.map(s => s.body).slice(1)).toEqual([
      { item: 'workers', howMany: 1, what: 'precinct lead' },
      { item: 'workers', howMany: 2, what: 'greeter' },
    ])
    for (const { kind, body } of end.say) expect(checkReport(kind, body)).toMatchObject({ ok: true })
  })
  it('asks for nobody where none are wanted or none are missing', () => {
    const no = talkThrough(flowOf('team', undefined)!, { ...given, standby: 'no' }, around(aDevicePlan()))
    expect(no.say?.map(s => s.kind)).toEqual(['TeamReported'])
    const all = talkThrough(flowOf('team', undefined)!, { present: 9, missing: [] }, around(aDevicePlan()))
    expect(all.asked).not.toContain('standby')
  })
})

describe('two people', () => {
  it('say that they are two, and that parties differ only where it was asked', () => {
    expect(twoBody('one')).toEqual({ byTwo: false })
    expect(twoBody('two')).toEqual({ byTwo: true })
    expect(twoBody('two-differ')).toEqual({ byTwo: true, partiesDiffer: true })
    expect(twoBody('two-unsaid')).toEqual({ byTwo: true, partiesDiffer: false })
    expect(twoBody(undefined)).toEqual({ byTwo: false })
  })
})

describe('when steps were done', () => {
  it('is when this device said what ended them', () => {
    const seal = (container: string) => said('SealRecorded', { container, found: 'E1', state: 'intact' })
    const reports = [
      said('TeamReported', { present: 9, missing: [] }),
      seal('tabulator-door'),
      seal('ballot-box'),
      said('StepCompleted', { step: 'box' }),
    ]
    expect(stepTimes(aDevicePlan(), reports)).toEqual({
      team: reports[0]!.at,
      seals: reports[2]!.at,
      box: reports[3]!.at,
    })
  })
})
