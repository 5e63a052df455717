import { describe, expect, it } from 'vitest'
import {
  addOther,
  addSeal,
  type CheckInDraft,
  emptyDraft,
  problemsFromServer,
  readDraft,
} from '../../../app/receiving/checkInDraft.ts'
import { commandBodies } from '../../../server/protocol/command.ts'

const offered = ['ballots-voted', 'tapes']
const draft = (changes: Partial<CheckInDraft> = {}): CheckInDraft => ({
  ...emptyDraft('PL-01'),
  carriers: '2',
  ticked: ['tapes'],
  ...changes,
})
const problems = (changes: Partial<CheckInDraft>) => {
  const read = readDraft(draft(changes), offered)
  return read.ok ? {} : read.problems
}
const many = (n: number) => Array.from({ length: n }, (_, i) => `n${i}`)

describe('what a clerk typed', () => {
  it('is sent as the command wants it, empty fields left out', () => {
    const read = readDraft(
      draft({ seals: ['E1'], others: ['hat'], deliveredBy: ' Two clerks ', note: '  ' }),
      offered,
    )
    expect(read).toMatchObject({
      ok: true,
      body: {
        items: ['tapes', 'hat'],
        seals: ['E1'],
        carriers: 2,
        deliveredBy: 'Two clerks',
        station: 'PL-01',
      },
    })
    const body = { precinct: 'E-01', ...(read.ok ? read.body : {}) }
    expect(commandBodies.CheckInReturn.parse(body)).toEqual(body)
    expect(body).not.toHaveProperty('note')
  })

  it('counts what still stands in the two fields that add to a list', () => {
    const read = readDraft(draft({ seal: ' E7 ', other: 'lost hat' }), offered)
    expect(read).toMatchObject({ ok: true, body: { items: ['tapes', 'lost-hat'], seals: ['E7'] } })
    expect(read.draft).toMatchObject({ seal: '', other: '' })
  })

  it.each<[string, Partial<CheckInDraft>, object]>([
    ['nobody', { carriers: '' }, { carriers: expect.stringMatching(/1 to 6/) }],
    ['seven people', { carriers: '7' }, { carriers: expect.stringMatching(/1 to 6/) }],
    ['words for a number', { carriers: 'two' }, { carriers: expect.stringMatching(/1 to 6/) }],
    ['nothing', { ticked: [] }, { items: expect.stringMatching(/^Nothing is ticked and no seal is typed/) }],
    ['41 items', { ticked: many(41) }, { items: 'At most 40 items; these are 41.' }],
    ['a 41st seal', { seals: many(40), seal: 'E1' }, { seals: 'At most 40 seals; this would be 41.' }],
    [
      'a seal twice',
      { seals: ['E 1'], seal: 'e1' },
      { seals: 'e1 is in the list already, as number 1. Each seal once.' },
    ],
    [
      'a seal of 41 signs',
      { seal: 'E'.repeat(41) },
      { seals: expect.stringMatching(/at most 40 characters/) },
    ],
    ['an item of signs', { other: '#2!' }, { other: expect.stringMatching(/^Begin with a letter or digit/) }],
    [
      'an item of 41 letters',
      { other: 'a'.repeat(41) },
      { other: expect.stringMatching(/at most 40 characters/) },
    ],
    ['an item twice', { other: 'Tapes' }, { other: 'Tapes is in the list already.' }],
    ['a long note', { note: 'a'.repeat(1_001) }, { note: 'At most 1,000 characters.' }],
  ])('%s: told by the field', (_, changes, expected) => {
    expect(problems(changes)).toEqual(expected)
  })

  it('an item of the checklist that is typed is ticked', () => {
    const added = addOther(draft({ other: 'Ballots Voted' }), offered)
    expect(added.ok && added.draft).toMatchObject({
      ticked: ['tapes', 'ballots-voted'],
      others: [],
      other: '',
    })
  })

  it('Enter in an empty field adds nothing and is no mistake', () => {
    expect(addSeal(draft({ seal: '  ' }))).toMatchObject({ ok: true, draft: { seals: [], seal: '' } })
    expect(addOther(draft({ other: '' }), offered)).toMatchObject({ ok: true })
  })

  it('seals alone, or items alone, will do', () => {
    expect(problems({ ticked: [], seals: ['E1'] })).toEqual({})
    expect(problems({ seals: [] })).toEqual({})
  })

  it('the server’s problems stand by our fields', () => {
    expect(
      problemsFromServer([
        { path: 'body.seals.1', message: 'E1 stands in the list twice' },
        { path: 'body.station', message: 'a place of this day’s plan' },
        { path: 'body.seals.2', message: 'another' },
      ]),
    ).toEqual({ seals: 'E1 stands in the list twice', station: 'a place of this day’s plan' })
  })
})
