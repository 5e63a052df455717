import { type Answers, type Flow, twoBody } from '../asking/question.ts'
import { showsOf } from '../guide/shows.ts'
import { stepTitle } from '../planSteps.ts'
import { hasGuide, troubleAt } from './guiding.ts'

/**
 * A step is shown, done and confirmed, by two people where the plan says so. What is not so leads through the guide's
 * remedies; when one has helped, the step is asked about again.
 */
export const stepDone =
  (code: string): Flow =>
  (answers, around) => {
    const { plan, words: w } = around
    const step = plan.steps.find(s => s.code === code)
    const title = step ? stepTitle(step, w) : code
    if (hasGuide(step)) {
      const round = roundOf(answers)
      const done = answers[`done${round}`]
      if (done === undefined)
        return {
          ask: {
            id: `done${round}`,
            kind: 'one',
            ask: title,
            shows: showsOf(step, w),
            choices: [
              { value: 'yes', label: w.guide.yes },
              { value: 'amiss', label: w.guide.amiss },
              { value: 'no', label: w.guide.notYet, leave: true },
            ],
          },
        }
      if (done === 'amiss') {
        const outcome = troubleAt(step, answers, around, round)
        if (outcome !== 'fixed') return outcome
        return stepDone(code)({ ...answers, [FIXED]: String(Number(answers[FIXED] ?? 0) + 1) }, around)
      }
    } else if (!step?.byTwo && answers.done === undefined)
      return {
        ask: {
          id: 'done',
          kind: 'one',
          ask: title,
          help: w.step.isDone,
          choices: [
            { value: 'yes', label: w.step.yes },
            { value: 'no', label: w.step.notYet, leave: true },
          ],
        },
      }
    if (step?.byTwo && answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: title, help: w.step.two } }
    const body = step?.byTwo ? { step: code, ...twoBody(answers.two) } : { step: code }
    return { say: [{ kind: 'StepCompleted', body }], done: { title: w.step.done, lines: [title] } }
  }

/** How many troubles were mended on the way; counted along, never asked. */
const FIXED = 'fixed'
const roundOf = (answers: Answers) => (answers[FIXED] === undefined ? '' : `#${answers[FIXED]}`)
