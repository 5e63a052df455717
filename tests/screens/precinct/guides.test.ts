import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkReport } from '../../../app/live/outboxCheck.ts'
import type { Answer, Answers, FlowStep } from '../../../app/precinct/asking/question.ts'
import { flowOf, screenOf } from '../../../app/precinct/flows/flows.ts'
import { catalogue } from '../../../app/precinct/words/catalogue.ts'
import { wordsOf } from '../../../app/precinct/words/wordsOf.ts'
import { GUIDES, type GuideName } from '../../../server/domain/plan/guides.ts'
import type { Trouble } from '../../../server/domain/plan/troubles.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { aDevicePlan, around, OPENS } from './given.ts'
import { talkThrough } from './talk.ts'

const NAMES = Object.keys(GUIDES) as GuideName[]
const EACH = NAMES.flatMap(guide => GUIDES[guide].map(trouble => [guide, trouble] as const))

/** A step called `there` with the guide. */
function planWith(guide: GuideName, over: Partial<DevicePlan['steps'][number]> = {}): DevicePlan {
  const plan = aDevicePlan()
  const step = { ...plan.steps[2]!, code: 'there', title: 'Do it', guide, ...over }
  return { ...plan, steps: [step] }
}
const remediesOf = (trouble: Trouble) => Object.keys(catalogue.en.remedies[trouble])
/** Answers that choose a trouble and try all of its remedies in vain. */
const inVain = (trouble: Trouble): Record<string, Answer> => ({
  done: 'amiss',
  trouble,
  what: 'it smells',
  ...Object.fromEntries(remediesOf(trouble).map(name => [`${trouble}:${name}`, 'no'])),
})

describe('a guide', () => {
  it.each(EACH)(
    '%s, %s: with no remedy left the office is told by codes and must be called',
    (guide, trouble) => {
      const here = around(planWith(guide))
      const end = talkThrough(flowOf('step', 'there')!, inVain(trouble), here)
      if (!end.say || !end.done) throw new Error(`still asks ${end.open?.id}`)
      expect(end.say).toHaveLength(1)
      const { kind, body } = end.say[0]!
      expect(kind).toBe('HelpRequested')
      expect(checkReport(kind, body)).toMatchObject({ ok: true })
      expect(body.trouble).toBe(trouble)
      expect(body.what).toBe(trouble === 'other' ? 'it smells' : undefined)
      expect(end.done).toMatchObject({ stop: true, told: wordsOf('en').troubleNames[trouble] })
      expect(end.done.phone === true || end.done.ring!.length > 0).toBe(true)
      const spanish = talkThrough(flowOf('step', 'there')!, inVain(trouble), {
        ...here,
        words: wordsOf('es'),
      })
      expect(spanish.say).toEqual(end.say)
    },
  )

  it.each(EACH.filter(([, t]) => t !== 'other'))(
    '%s, %s: a remedy that helps leads back',
    (guide, trouble) => {
      const names = remediesOf(trouble)
      for (const [i, name] of names.entries()) {
        const given = { ...inVain(trouble), [`${trouble}:${name}`]: 'yes' }
        const end = talkThrough(flowOf('step', 'there')!, given, around(planWith(guide)))
        expect(end).toMatchObject({ open: { ask: 'Do it', shows: { how: {}, see: {} } } })
        expect(end.asked.filter(id => id.startsWith(`${trouble}:`))).toHaveLength(i + 1)
        const alone = talkThrough(flowOf('trouble', 'there')!, given, around(planWith(guide)))
        expect(alone).toMatchObject({ say: [], done: { to: [{}] } })
      }
    },
  )

  it.each(['en', 'es'] as const)(
    '%s: every trouble has one to three remedies; only "something else" has none',
    language => {
      for (const [trouble, remedies] of Object.entries(catalogue[language].remedies)) {
        const n = Object.keys(remedies).length
        expect(trouble === 'other' ? n === 0 : n >= 1 && n <= 3, trouble).toBe(true)
      }
    },
  )

  it('ends in a step done or in a call for help, whatever is answered', () => {
    const pick = fc.array(fc.nat(100), { maxLength: 60 })
    fc.assert(
      fc.property(fc.constantFrom(...NAMES), fc.boolean(), pick, (guide, byTwo, picks) => {
        const here = around(planWith(guide, { byTwo }))
        const flow = flowOf('step', 'there')!
        let answers: Answers = {}
        let step: FlowStep = flow(answers, here)
        for (let i = 0; 'ask' in step; i++) {
          const { ask } = step
          expect(answers[ask.id], `${ask.id} is asked once`).toBeUndefined()
          // When the answers run out nothing helps any more.
          const choices = 'choices' in ask ? ask.choices.filter(c => !c.leave) : []
          const n = picks[i] ?? choices.length - 1
          const answer =
            ask.kind === 'one' ? choices[n % choices.length]!.value : ask.kind === 'two' ? 'two-unsaid' : null
          answers = { ...answers, [ask.id]: answer }
          step = flow(answers, here)
          expect(i).toBeLessThan(200)
        }
        expect(step.say).toHaveLength(1)
        expect(['StepCompleted', 'HelpRequested']).toContain(step.say[0]!.kind)
        expect(checkReport(step.say[0]!.kind, step.say[0]!.body)).toMatchObject({ ok: true })
      }),
      { numRuns: 300, seed: 20261103 },
    )
  })

  it('a second trouble at the same step is asked about anew', () => {
    const given = { done: 'amiss', trouble: 'no-power', 'no-power:first': 'yes', 'done#1': 'amiss' }
    const end = talkThrough(flowOf('step', 'there')!, given, around(planWith('tabulator')))
    expect(end).toMatchObject({ open: { id: 'trouble#1' } })
  })

  it('polls still open at the legal hour is said until they are open, and at no closing step', () => {
    const lines = (plan: DevicePlan) => {
      const end = talkThrough(flowOf('step', 'there')!, inVain('seal-short'), around(plan))
      return end.done?.lines?.join(' ') ?? ''
    }
    expect(lines(planWith('door'))).toContain('Polls still open at 11:30')
    expect(lines(planWith('memory', { phase: 'closing' }))).not.toContain('Polls still open')
    const open = planWith('door')
    expect(lines({ ...open, has: { ...open.has, polls: 'open' } })).not.toContain('Polls still open')
  })

  it('a call for help that was refused is said again where it was said', () => {
    expect(screenOf('HelpRequested', { about: 'power', step: 'a b' })).toBe('flow/trouble/a%20b')
    expect(screenOf('HelpRequested', { about: 'power' })).toBe('flow/help')
  })

  it('a trouble of a phase asks first at which step; one without a guide asks the office to call', () => {
    const plan = aDevicePlan()
    plan.steps = plan.steps.map(s => (s.code === 'pack' ? { ...s, guide: 'pack' } : s))
    const at = talkThrough(flowOf('trouble-in', 'closing')!, { step: 'pack' }, around(plan))
    expect(at).toMatchObject({ asked: ['step', 'trouble'], open: { id: 'trouble' } })
    const none = talkThrough(flowOf('trouble-in', 'opening')!, { about: 'other', what: null }, around(plan))
    expect(none).toMatchObject({ say: [{ kind: 'HelpRequested', body: { about: 'other' } }] })
  })
})

describe('what a step shows', () => {
  const asked = (over: Partial<DevicePlan['steps'][number]>, language: 'en' | 'es') => {
    const here = { ...around(planWith('box', over)), words: wordsOf(language) }
    const step = flowOf('step', 'there')!({}, here)
    if (!('ask' in step)) throw new Error('nothing is asked')
    return step.ask
  }
  it('is the county’s own words first, in the page’s language where it has them', () => {
    expect(asked({ how: 'Look in.' }, 'en').shows?.how).toEqual({ text: 'Look in.' })
    expect(asked({}, 'en').shows?.how).toEqual({ text: wordsOf('en').guides.box.how })
    expect(asked({ how: 'Look in.', howEs: 'Mire.' }, 'es').shows?.how).toEqual({ text: 'Mire.' })
    expect(asked({ see: 'Empty.' }, 'es').shows?.see).toEqual({ text: 'Empty.', lang: 'en' })
    expect(asked({}, 'es').shows?.see).toEqual({ text: wordsOf('es').guides.box.see })
  })
  it('stands under the title in the page’s language', () => {
    expect(asked({ titleEs: 'Urna' }, 'es').ask).toBe('Urna')
    expect(asked({}, 'es').ask).toBe(wordsOf('es').stepTitles.box)
  })
})

describe('before the polls open', () => {
  it.each(['en', 'es'] as const)('%s: no remedy of the tabulator feeds a ballot', language => {
    const words = Object.values(catalogue[language].remedies['flap-closed']).join(' ')
    expect(words).toMatch(/Feed no ballot|No meta boletas/)
    expect(words).not.toMatch(/feed the ballot|[Mm]eta la boleta/)
  })
})

describe('the building is locked', () => {
  const plan = (contacts: DevicePlan['contacts'], officePhone = '555-0199'): DevicePlan => ({
    ...planWith('team'),
    contacts,
    officePhone,
  })
  const end = (of: DevicePlan) => {
    const outcome = talkThrough(flowOf('locked', undefined)!, { locked: 'yes' }, around(of, [], OPENS - 1))
    const { say, done } = outcome
    if (!say || !done) throw new Error('nothing is said')
    return { say, done }
  }
  const KEYS = { role: 'Custodian', phone: '555-0142' }

  it('rings who keeps the keys, then the office, which is told at once', () => {
    const { say, done } = end(plan([{ role: 'precinct lead', phone: '555-0100' }, KEYS]))
    expect(say).toEqual([
      {
        kind: 'HelpRequested',
        body: { about: 'place-not-open', trouble: 'building-locked', step: 'there' },
      },
    ])
    expect(checkReport(say[0]!.kind, say[0]!.body)).toMatchObject({ ok: true })
    expect(done.ring!.map(r => r.phone)).toEqual(['555-0142', '555-0199'])
  })
  it('rings the office where the plan knows no custodian, and names no step that the plan has not', () => {
    const { say, done } = end({ ...plan([]), steps: [] })
    expect(done.ring!.map(r => r.phone)).toEqual(['555-0199'])
    expect(say[0]!.body).toEqual({ about: 'place-not-open', trouble: 'building-locked' })
  })
})
