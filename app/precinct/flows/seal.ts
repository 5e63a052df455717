import { sealNumber } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { type Around, asText, type Done, type Flow, type TextQuestion, twoBody } from '../asking/question.ts'
import { containerWords, labelOf } from '../names.ts'
import { tabulatorOf } from '../outOfUse.ts'
import { type PlanStep, stepTitle } from '../planSteps.ts'
import { sealSays } from '../sealHere.ts'

/** What is sent in place of a number where there is none to read. */
const NO_SEAL = 'none'

/**
 * The number is typed first, then compared without being shown what is expected; one that differs is typed once more.
 * Whether the seal is whole is asked in any case.
 */
export const seal =
  (container: string): Flow =>
  (answers, around) => {
    const { plan, page, words: w } = around
    const what = containerWords(container, w)
    if (answers.found === undefined)
      return { ask: { ...number('found', w.seal.found(what), w.seal.foundHelp), skip: w.seal.noNumber } }
    const first = asText(answers.found)
    if (
      first !== undefined &&
      sealSays(plan, page, container, first) === 'differs' &&
      answers.again === undefined
    )
      return { ask: number('again', w.seal.again(what), w.seal.againHelp) }
    const found = asText(answers.again) ?? first
    const says = found === undefined ? null : sealSays(plan, page, container, found)
    if (answers.state === undefined)
      return {
        ask: {
          id: 'state',
          kind: 'one',
          ask: says === null ? w.seal.why(what) : w.seal.state(what),
          help: says === 'agrees' ? w.seal.agrees : says === 'unknown' ? w.seal.unknown : '',
          choices: [
            says === null
              ? { value: 'missing', label: w.seal.missing }
              : { value: 'intact', label: w.seal.intact },
            { value: 'broken', label: w.seal.broken },
          ],
        },
      }
    const wrong = says === 'differs' || answers.state !== 'intact'
    const seals = wrong ? undefined : lastOf(container, around)
    if (seals?.byTwo && answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: stepTitle(seals, w), help: w.step.two } }
    const body = { container, found: found ?? NO_SEAL, state: answers.state }
    return {
      say: [
        { kind: 'SealRecorded', body },
        ...(seals?.byTwo
          ? [{ kind: 'StepCompleted' as const, body: { step: seals.code, ...twoBody(answers.two) } }]
          : []),
      ],
      done: wrong ? stop(container, says === 'differs', around) : well(says === 'agrees', around),
    }
  }

const number = (id: string, ask: string, help: string): TextQuestion => ({
  id,
  kind: 'text',
  ask,
  help,
  schema: sealNumber,
  fills: 'found',
})

/**
 * The step of the seals where all others are right by now and two people have not confirmed it yet: they confirm once
 * for all, and where a seal was wrong first, with the look that finds it right.
 */
function lastOf(container: string, { plan, page }: Around): PlanStep | undefined {
  const allRight = plan.containers.every(
    c => c === container || (page.seals.has(c) && !page.sealTrouble.includes(c)),
  )
  if (!allRight || !plan.containers.includes(container)) return undefined
  return plan.steps.find(s => s.completedBy === 'seals' && !page.byTwo.has(s.code))
}

function well(agrees: boolean, { words: w }: Around): Done {
  return {
    title: w.seal.done,
    lines: [agrees ? w.seal.agrees : w.seal.unknown],
    to: [{ label: w.seal.toSeals, screen: 'seals' }],
  }
}

function stop(container: string, differs: boolean, { plan, page, time, words: w }: Around): Done {
  const what = containerWords(container, w)
  const tabulator = tabulatorOf(plan, container)
  const opens = time(fromRfc3339(plan.opensAt))
  return {
    title: w.seal.stop(what),
    lines: [
      ...(differs ? [w.seal.differs] : []),
      w.seal.stopHelp,
      ...(tabulator === null ? [] : [w.outOfUse.seal(labelOf(plan, tabulator))]),
      ...(page.polls === 'not-open' ? [w.guide.pollsOpen(opens)] : []),
    ],
    stop: true,
    phone: true,
  }
}
