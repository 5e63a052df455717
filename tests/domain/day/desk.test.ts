import { describe, expect, test } from 'vitest'
import { IDLE } from '../../../server/domain/day/initial.ts'
import { aPlan } from '../../support/aPlan.ts'
import { at, desk, ended, given, givenPlan, iso, raised, type Said, says } from '../../support/given.ts'

const taken = desk('E-01', '09:00', 'CallTaken', {})
const logged = (
  outcome: 'solved' | 'watching' | 'no-answer' | 'needs-rover' | 'needs-supervisor',
  until?: string,
) => desk('E-01', '09:05', 'CallLogged', { outcome, ...(until ? { until: iso(until) } : {}) })

describe('a line of the call list', () => {
  test('is taken by who gave the command', () => {
    expect(given(taken).p('E-01').call).toMatchObject({ takenBy: 'ada', takenAt: at('09:00') })
  })

  test('is handed over to somebody, or to nobody', () => {
    expect(given(taken, desk('E-01', '09:02', 'CallHandedOver', { to: 'ben' })).p('E-01').call.takenBy).toBe(
      'ben',
    )
    expect(given(taken, desk('E-01', '09:02', 'CallHandedOver', {})).p('E-01').call).toEqual(IDLE)
  })

  test.each([
    ['solved', undefined, '09:15'],
    ['no-answer', undefined, '09:15'],
    ['watching', undefined, '09:15'],
    ['watching', '10:00', '10:00'],
  ] as const)('noted as %s (until %s) steps back until %s', (outcome, until, expected) => {
    expect(given(taken, logged(outcome, until)).p('E-01').call).toEqual({
      takenBy: null,
      takenAt: null,
      backUntil: at(expected),
      lastOutcome: outcome,
      lastAt: at('09:05'),
    })
  })

  test.each(['needs-rover', 'needs-supervisor'] as const)('noted as %s stays in its place', outcome => {
    expect(given(taken, logged(outcome)).p('E-01').call).toMatchObject({ takenBy: null, backUntil: null })
  })

  test('steps back for as long as the county’s policy says', () => {
    const day = givenPlan(aPlan({ policy: { stepBackMinutes: 25 } }), logged('solved'))
    expect(day.p('E-01').call.backUntil).toBe(at('09:30'))
  })

  test('is deferred until then, and taking it ends that', () => {
    const deferred = desk('E-01', '08:50', 'CallDeferred', { until: iso('09:20') })
    expect(given(deferred).p('E-01').call).toMatchObject({ backUntil: at('09:20'), lastOutcome: 'deferred' })
    expect(given(deferred, taken).p('E-01').call).toMatchObject({ takenBy: 'ada', backUntil: null })
  })

  test('is free again when its last reason ends', () => {
    const reasons = [raised('E-01', '08:55', 'silent'), raised('E-01', '08:56', 'count-missing')]
    const one = given(...reasons, taken, ended('E-01', '09:10', 'silent'))
    expect(one.p('E-01').call.takenBy).toBe('ada')
    const none = given(
      ...reasons,
      logged('solved'),
      ended('E-01', '09:10', 'silent'),
      ended('E-01', '09:11', 'count-missing'),
    )
    expect(none.p('E-01').call).toEqual({ ...IDLE, lastOutcome: 'solved', lastAt: at('09:05') })
  })

  test('comes back when something graver is raised, and not for more of the same', () => {
    const first = raised('E-01', '09:00', 'silent', { tier: 'soon' })
    const same = raised('E-01', '09:06', 'slot-forgotten', { tier: 'soon' })
    const graver = raised('E-01', '09:07', 'tape-rejected', { tier: 'stop' })
    expect(given(first, logged('watching', '10:00'), same).p('E-01').call.backUntil).toBe(at('10:00'))
    expect(given(first, logged('watching', '10:00'), same, graver).p('E-01').call.backUntil).toBeNull()
  })

  test('a logged call leaves its sign on the strip', () => {
    expect(given(logged('no-answer')).row('E-01').strip.marks).toEqual([['call', at('09:05')]])
  })

  test('a note changes nothing but what was touched', () => {
    const day = given(
      desk('E-01', '09:05', 'NoteAdded', { note: 'spoke with the school' }),
      desk(null, '09:06', 'NoteAdded', { note: 'rain' }),
      desk('E-01', '09:07', 'ReportCorrected', { position: 1, note: 'typed twice' }),
    )
    expect(day.p('E-01').touchedAt).toBe(3)
    expect(day.state.cursor).toBe(3)
    expect(day.p('E-01').call).toEqual(IDLE)
  })
})

describe('asking for help', () => {
  const asked = says('E-01', '09:00', 'HelpRequested', { about: 'equipment' })
  const aboutOf = (...said: Said[]) =>
    given(...said)
      .p('E-01')
      .help.map(h => h.is.about)

  test('another matter wipes none out, the same one asked again is one, and a call answers what was asked before it', () => {
    const power = says('E-01', '09:01', 'HelpRequested', { about: 'power', trouble: 'no-power' })
    const pens = says('E-01', '09:02', 'SuppliesRequested', { item: 'pens' })
    const again = says('E-01', '09:03', 'HelpRequested', { about: 'power', trouble: 'no-power' })
    const after = says('E-01', '09:30', 'SuppliesRequested', { item: 'forms' })
    expect(aboutOf(asked, power, pens, again)).toEqual(['equipment', 'supplies', 'power'])
    expect(given(again, pens, asked, power).p('E-01').help).toHaveLength(3)
    expect(aboutOf(asked, after, power, logged('solved'), pens)).toEqual(['supplies'])
  })

  test('stands until a call that was logged after it', () => {
    expect(aboutOf(asked)).toEqual(['equipment'])
    expect(aboutOf(asked, logged('solved'))).toEqual([])
    expect(aboutOf(asked, logged('watching'))).toEqual([])
  })

  test.each(['no-answer', 'needs-rover', 'needs-supervisor'] as const)('%s answers nothing', outcome => {
    expect(aboutOf(asked, logged(outcome))).toEqual(['equipment'])
  })

  test('asked again after the call it stands again', () => {
    const again = says('E-01', '09:30', 'HelpRequested', { about: 'power' })
    expect(aboutOf(asked, logged('solved'), again)).toEqual(['power'])
  })

  test('what was asked before the call but heard after it is answered', () => {
    const late = says('E-01', '09:00', 'HelpRequested', { about: 'equipment' }, { recorded: '09:20' })
    expect(aboutOf(logged('solved'), late)).toEqual([])
  })

  test('asking for supplies is asking for help', () => {
    const day = given(says('E-01', '09:00', 'SuppliesRequested', { item: 'ballots', howMany: 200 }))
    expect(day.p('E-01').help.map(h => h.is.about)).toEqual(['supplies'])
  })

  test('incidents are counted and marked', () => {
    const day = given(
      says('E-01', '10:00', 'IncidentNoted', { category: 'medical', what: 'somebody fainted' }),
      says(
        'E-01',
        '09:00',
        'IncidentNoted',
        { category: 'power', what: 'lights out' },
        { recorded: '10:10' },
      ),
    )
    expect(day.p('E-01').incidents).toBe(2)
    expect(day.row('E-01').strip.marks).toEqual([
      ['incident', at('09:00')],
      ['incident', at('10:00')],
    ])
  })
})
