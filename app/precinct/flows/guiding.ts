import { words } from '../../../server/domain/log/fields.ts'
import { GUIDES, type GuideName } from '../../../server/domain/plan/guides.ts'
import type { Trouble } from '../../../server/domain/plan/troubles.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { type Answers, type Around, asText, type Flow, type FlowStep, only } from '../asking/question.ts'
import { stepOfGuide } from '../guide/shows.ts'
import { TROUBLE_PARTS } from '../guide/troubleParts.ts'
import { type PlanStep, screenOfStep, stepsOf, stepTitle } from '../planSteps.ts'
import { help } from './troubles.ts'

type AtStep = PlanStep & { guide: GuideName }
export const hasGuide = (step: PlanStep | undefined): step is AtStep => Boolean(step?.guide)

/**
 * What is done about a trouble at a step: which it is, then one remedy at a time; with none left the office is told and
 * must be called.
 *
 * @param round Sets these answers apart from those of an earlier trouble at the same step.
 * @returns `fixed`: a remedy helped.
 */
export function troubleAt(step: AtStep, answers: Answers, around: Around, round = ''): FlowStep | 'fixed' {
  const { words: w } = around
  const id = (part: string) => `${part}${round}`
  const chosen = answers[id('trouble')]
  if (chosen === undefined)
    return {
      ask: {
        id: id('trouble'),
        kind: 'one',
        ask: w.guide.trouble,
        help: stepTitle(step, w),
        choices: GUIDES[step.guide].map(value => ({ value, label: capital(w.troubleNames[value]) })),
      },
    }
  const trouble = chosen as Trouble
  for (const [name, remedy] of Object.entries(w.remedies[trouble])) {
    const answer = answers[id(`${trouble}:${name}`)]
    if (answer === 'yes') return 'fixed'
    if (answer === undefined)
      return {
        ask: {
          id: id(`${trouble}:${name}`),
          kind: 'one',
          ask: remedy,
          help: w.guide.fixed,
          shows: { drawing: TROUBLE_PARTS[trouble].drawing },
          choices: [
            { value: 'yes', label: w.guide.fixedYes },
            { value: 'no', label: w.guide.fixedNo },
          ],
        },
      }
  }
  if (trouble === 'other' && answers[id('what')] === undefined)
    return {
      ask: {
        id: id('what'),
        kind: 'text',
        long: true,
        guard: true,
        ask: w.guide.what,
        help: w.help.whatHelp,
        skip: w.help.skip,
        schema: words,
        fills: 'what',
      },
    }
  return callFor(trouble, step, asText(answers[id('what')]), around)
}

/** The office is told by codes, in whatever language the page is; only what a worker typed goes as it was typed. */
function callFor(
  trouble: Trouble,
  step: AtStep,
  what: string | undefined,
  { plan, page, time, words: w }: Around,
): FlowStep {
  if (trouble === 'building-locked') return lockedOut(w.guide.call, { plan, words: w })
  const { about, meanwhile } = TROUBLE_PARTS[trouble]
  const opens = step.phase === 'opening' && page.polls === 'not-open'
  return {
    say: [{ kind: 'HelpRequested', body: only({ about, step: step.code, trouble, what }) }],
    done: {
      title: w.guide.call,
      told: w.troubleNames[trouble],
      lines: [w.meanwhile[meanwhile], ...(opens ? [w.guide.pollsOpen(time(fromRfc3339(plan.opensAt)))] : [])],
      stop: true,
      phone: true,
      to: [{ label: w.guide.back, screen: screenOfStep(step) }],
    },
  }
}

/** The building is locked: who keeps its keys is rung first, else the office. */
function lockedOut(title: string, { plan, words: w }: Pick<Around, 'plan' | 'words'>): FlowStep {
  const custodians = plan.contacts.filter(c => /^custodian$/i.test(c.role))
  const step = stepOfGuide(plan.steps, 'team')?.code
  return {
    say: [
      {
        kind: 'HelpRequested',
        body: only({ about: 'place-not-open', trouble: 'building-locked', step }),
      },
    ],
    done: {
      title,
      told: w.troubleNames['building-locked'],
      ring: [
        ...custodians.map(({ phone }) => ({ label: w.guide.ring(w.titles.custodian, phone), phone })),
        ...(plan.officePhone ? [{ label: w.office.call(plan.officePhone), phone: plan.officePhone }] : []),
      ],
      lines: [w.meanwhile.door, w.locked.after],
      stop: true,
    },
  }
}

export const locked: Flow = (answers, { plan, words: w }) =>
  answers.locked === undefined
    ? {
        ask: {
          id: 'locked',
          kind: 'one',
          ask: w.locked.ask,
          help: plan.precinct.place,
          shows: { drawing: 'locked' },
          choices: [
            { value: 'yes', label: w.locked.yes },
            { value: 'no', label: w.locked.no, leave: true },
          ],
        },
      }
    : lockedOut(w.locked.done, { plan, words: w })

/** Something is not right at a step that is said elsewhere. */
export const trouble =
  (code: string): Flow =>
  (answers, around) => {
    const { plan, words: w } = around
    const step = plan.steps.find(s => s.code === code)
    // Without a guide nothing can be tried: the office is asked to call.
    if (!hasGuide(step)) return help(answers, around)
    const outcome = troubleAt(step, answers, around)
    if (outcome !== 'fixed') return outcome
    return {
      say: [],
      done: { title: w.guide.fixedDone, to: [{ label: w.guide.back, screen: screenOfStep(step) }] },
    }
  }

/** Something is not right at one of a phase's steps: first, at which. */
export const troubleIn =
  (phase: string): Flow =>
  (answers, around) => {
    const { plan, words: w } = around
    const steps = stepsOf(plan, phase === 'closing' ? 'closing' : 'opening').filter(hasGuide)
    if (answers.step === undefined && steps.length > 0)
      return {
        ask: {
          id: 'step',
          kind: 'one',
          ask: w.guide.atStep,
          choices: steps.map(s => ({ value: s.code, label: stepTitle(s, w) })),
        },
      }
    return trouble(String(answers.step ?? ''))(answers, around)
  }

function capital(text: string): string {
  return text[0]!.toUpperCase() + text.slice(1)
}
