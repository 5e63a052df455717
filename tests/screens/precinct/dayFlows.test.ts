import { describe, expect, it } from 'vitest'
import { checkReport } from '../../../app/live/outboxCheck.ts'
import type { Answer } from '../../../app/precinct/asking/question.ts'
import { stepped } from '../../../app/precinct/asking/Stepper.tsx'
import { flowOf, screenOf } from '../../../app/precinct/flows/flows.ts'
import { sealPrint } from '../../../server/domain/plan/sealPrint.ts'
import { aDevicePlan, around, said } from './given.ts'
import { talkThrough } from './talk.ts'

const talk = (
  name: string,
  what: string | undefined,
  given: Record<string, Answer>,
  here = around(openPlan()),
) => talkThrough(flowOf(name, what)!, given, here)
const openPlan = (has: Parameters<typeof aDevicePlan>[0] = {}) => aDevicePlan({ polls: 'open', ...has })

describe('stepping a count', () => {
  it('goes on from the last value, then from what stands there, and stays within a count’s bounds', () => {
    expect(stepped('', 240, 10)).toBe('250')
    expect(stepped('250', 240, 1)).toBe('251')
    expect(stepped('', 0, -1)).toBe('0')
    expect(stepped('999999', 0, 10)).toBe('1000000')
    expect(stepped('12x', 7, 1)).toBe('8')
  })
})

describe('a tabulator in another one’s place', () => {
  const here = around(openPlan({ down: ['T2'], publicCount: { T2: 120 } }))

  it('asks the old one’s last count first, and says that the new count starts anew', () => {
    const end = talk('equipment', 'T2', { works: 'other', oldCount: 131, by: 'T9' }, here)
    expect(end.asked).toEqual(['works', 'oldCount', 'by'])
    expect(end.say).toEqual([
      { kind: 'CountsReported', body: { publicCount: { T2: 131 } } },
      { kind: 'EquipmentReplaced', body: { equipment: 'T2', by: 'T9' } },
    ])
    expect(end.done!.lines!.join(' ')).toContain('starts anew')
    expect(end.done!.to!.map(t => t.screen)).toEqual(['flow/tape/T9', 'custody'])
  })

  it('asks when the old count goes backwards', () => {
    expect(talk('equipment', 'T2', { works: 'other', oldCount: 12 }, here).open!.id).toBe('oldCount:sure')
  })

  it('cannot be replaced by itself, and asks about a tag that is here already', () => {
    const own = talk('equipment', 'T2', { works: 'other', oldCount: null, by: 'T2' }, here).open!
    expect(own).toMatchObject({ id: 'sameTag', choices: [{ again: true }] })
    const other = talk('equipment', 'T2', { works: 'other', oldCount: null, by: 'T1' }, here).open!
    expect(other).toMatchObject({ id: 'sameTag', choices: [{ again: true }, { value: 'sure' }] })
  })

  it('is said directly where the old one is kept out of use and never stopped', () => {
    const out = around(openPlan({ tapes: { T1: 'rejected', T2: 'verified' } }))
    const end = talk('equipment', 'T1', { stopped: 'other', oldCount: null, by: 'T9' }, out)
    expect(end.say).toEqual([{ kind: 'EquipmentReplaced', body: { equipment: 'T1', by: 'T9' } }])
    const values = (tag: string) => {
      const { open } = talk('equipment', tag, {}, out)
      return open!.kind === 'one' && open!.choices.map(c => c.value)
    }
    expect([values('T1'), values('T2')]).toEqual([
      ['yes', 'other', 'no'],
      ['yes', 'no'],
    ])
  })

  it('other equipment has no count', () => {
    const station = around(openPlan({ down: ['A1'] }))
    expect(talk('equipment', 'A1', { works: 'other', by: 'A9' }, station).asked).toEqual(['works', 'by'])
  })
})

describe('the emergency slot', () => {
  it('says what is still in it after some were fed, and leads from locking to feeding', () => {
    const here = around(openPlan({ inSlot: 9 }))
    const fed = talk('slot-fed', undefined, { fed: 7, hand: null, over: null, two: 'two-differ' }, here)
    expect(fed.done!.lines).toEqual(['2 ballots should still be in the slot.'])
    expect(fed.say![0]!.body).toMatchObject({ byTwo: true, partiesDiffer: true })
    const locked = talk('slot-locked', undefined, { inSlot: 9, two: 'two' }, here)
    expect(locked.done!.to!.map(t => t.screen)).toEqual(['flow/slot-fed'])
  })

  it('wants a note of what is handed over', () => {
    const here = around(openPlan({ inSlot: 9 }))
    expect(talk('slot-fed', undefined, { fed: 7, hand: 1, over: 1 }, here).open!.id).toBe('note')
  })
})

describe('the ballot box', () => {
  it('opened by two with its new seal put on says both, in this order', () => {
    const end = talk('box', undefined, {
      reason: 'straighten',
      two: 'two',
      sealed: 'yes',
      number: ' E7 ',
      note: null,
    })
    expect(end.say).toEqual([
      { kind: 'BallotBoxOpened', body: { reason: 'straighten', byTwo: true } },
      {
        kind: 'SealRecorded',
        body: { container: 'ballot-box', found: 'E7', state: 'intact', act: 'applied' },
      },
    ])
  })
  it('without a seal yet leads to it; opened by one is told to stop', () => {
    const open = talk('box', undefined, { reason: 'remove', two: 'two', sealed: 'not-yet', note: null })
    expect(open.done!.to!.map(t => t.screen)).toEqual(['flow/seal-on/ballot-box'])
    expect(talk('box', undefined, { reason: 'remove', two: 'one', note: null }).done).toMatchObject({
      stop: true,
      phone: true,
    })
  })
})

describe('leaving the building', () => {
  it('asks two things, and says what stays together and to call now', () => {
    const end = talk('move', undefined, { cause: 'threat', to: 'corner of Mill and 2nd' })
    expect(end.say).toEqual([
      { kind: 'PlaceMoved', body: { cause: 'security', to: 'corner of Mill and 2nd' } },
    ])
    expect(end.done).toMatchObject({ stop: true, phone: true })
    expect(end.done!.lines!.join(' ')).toMatch(/Call the office now.*stay together.*Two people/)
    expect(end.done!.to!.map(t => t.screen)).toEqual(['flow/suspend'])
  })
  it('every cause is one that the office takes', () => {
    const step = flowOf('move', undefined)!({}, around(openPlan()))
    if (!('ask' in step) || step.ask.kind !== 'one') throw new Error('no choices')
    for (const { value } of step.ask.choices) {
      const [report] = talk('move', undefined, { cause: value, to: 'the library' }).say!
      expect(checkReport(report!.kind, report!.body), value).toMatchObject({ ok: true })
    }
  })
})

describe('seals taken off and put on', () => {
  const plan = {
    ...openPlan(),
    closingContainers: ['return-bag'],
    sealPrints: {
      'ballot-box': sealPrint('ellery', 'ballot-box', 'E100'),
      'return-bag': sealPrint('ellery', 'return-bag', 'R200'),
    },
  }
  const here = around(plan)

  it('one that is expected is recorded at once, without regard to case and spaces', () => {
    expect(talk('seal-off', 'ballot-box', { found: 'e 100' }, here).say).toEqual([
      {
        kind: 'SealRecorded',
        body: { container: 'ballot-box', found: 'e 100', state: 'intact', act: 'removed' },
      },
    ])
    expect(talk('seal-on', 'return-bag', { found: 'R200' }, here).done!.stop).toBeUndefined()
  })

  it('another number is asked once more without showing the expected one, then stands as it is', () => {
    const asked = talk('seal-on', 'return-bag', { found: 'R201' }, here).open!
    expect(asked.id).toBe('again')
    expect(JSON.stringify(asked)).not.toContain('R200')
    expect(talk('seal-on', 'return-bag', { found: 'R201', again: 'R200' }, here)).toMatchObject({
      say: [{ body: { found: 'R200' } }],
      done: { title: 'New seal on record' },
    })
    expect(talk('seal-on', 'return-bag', { found: 'R201', again: 'R201' }, here)).toMatchObject({
      say: [{ body: { found: 'R201' } }],
      done: { stop: true, phone: true },
    })
  })

  it('what was put on is what is expected when it comes off', () => {
    const after = around(plan, [
      said('SealRecorded', { container: 'ballot-box', found: 'E100', state: 'intact', act: 'removed' }),
      said('SealRecorded', { container: 'ballot-box', found: 'N1', state: 'intact', act: 'applied' }),
    ])
    expect(talk('seal-off', 'ballot-box', { found: 'N1' }, after).asked).toEqual(['found'])
    expect(talk('seal-off', 'ballot-box', { found: 'E100' }, after).open!.id).toBe('again')
  })

  it('is said again in its own conversation', () => {
    const body = { container: 'return-bag', found: 'R1', state: 'intact' }
    expect(screenOf('SealRecorded', { ...body, act: 'applied' })).toBe('flow/seal-on/return-bag')
    expect(screenOf('SealRecorded', { ...body, act: 'removed' })).toBe('flow/seal-off/return-bag')
    expect(screenOf('SealRecorded', body)).toBe('flow/seal/return-bag')
    expect(screenOf('CountsReconciled', {})).toBe('reconcile')
  })
})

describe('the return', () => {
  const given = { carriers: 2, two: 'two-differ', items: ['tapes'], seals: 'R200' }

  it('counts the carriers, and two say that they are of different parties', () => {
    expect(talk('depart', undefined, given).say).toEqual([
      {
        kind: 'ReturnDeparted',
        body: { carriers: 2, items: ['tapes'], seals: ['R200'], partiesDiffer: true },
      },
    ])
    expect(talk('depart', undefined, { ...given, carriers: 1 }).asked).not.toContain('two')
  })

  it('asks for names only where the county wants them, and warns of what is no name', () => {
    const plan = { ...openPlan(), page: { ...openPlan().page, carrierNames: true } }
    const here = around(plan)
    expect(talk('depart', undefined, given).asked).not.toContain('carriedBy')
    expect(talk('depart', undefined, given, here).open).toMatchObject({ id: 'carriedBy', guard: 'names-fit' })
    const end = talk('depart', undefined, { ...given, carriedBy: 'A. Miller, B. Ortiz' }, here)
    expect(end.say![0]!.body).toMatchObject({ carriedBy: 'A. Miller, B. Ortiz' })
  })

  it('warns of a container without a seal on record, leads there, and keeps nobody', () => {
    const plan = { ...openPlan(), closingContainers: ['return-bag', 'memory-device'] }
    const sealed = said('SealRecorded', {
      container: 'memory-device',
      found: 'M1',
      state: 'intact',
      act: 'applied',
    })
    const asked = talk('depart', undefined, given, around(plan, [sealed])).open!
    expect(asked).toMatchObject({ id: 'unsealed', ask: 'No seal is on record for: return bag' })
    expect(asked).toMatchObject({ choices: [{ go: 'custody' }, { value: 'go' }] })
    const end = talk('depart', undefined, { ...given, unsealed: 'go' }, around(plan, [sealed]))
    expect(end.say).toHaveLength(1)
  })
})
