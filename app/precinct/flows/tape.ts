import { problemOfTape, words } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { asList, asText, type Flow, only, twoBody } from '../asking/question.ts'
import { showsOf, stepOfGuide } from '../guide/shows.ts'
import { labelOf } from '../names.ts'
import { tabulatorsOut } from '../outOfUse.ts'

/** Each check its own question, in the order in which the tape is read. The first "no" leads to what is wrong. */
const CHECKS = [
  'not-printed',
  'precinct-name',
  'not-zero',
  'public-count',
  'ballot-order',
  'seal-number',
  'signatures',
] as const

export const tape =
  (tabulator: string): Flow =>
  (answers, { plan, page, time, words: w }) => {
    const label = labelOf(plan, tabulator)
    if (tabulatorsOut(plan, page).get(tabulator) === 'seal' && answers.out === undefined)
      return {
        ask: {
          id: 'out',
          kind: 'one',
          ask: w.outOfUse.goOn,
          help: w.outOfUse.seal(label),
          choices: [
            { value: 'no', label: w.outOfUse.goOnNo, leave: true },
            { value: 'yes', label: w.outOfUse.goOnYes },
          ],
        },
      }
    for (const check of CHECKS) {
      const words_ = w.tape[check]
      if (answers[check] === undefined)
        return {
          ask: {
            id: check,
            kind: 'one',
            ask: typeof words_ === 'function' ? words_(plan.precinct.name) : words_,
            help: label,
            shows: check === CHECKS[0] ? showsOf(stepOfGuide(plan.steps, 'tape'), w) : undefined,
            choices: [
              { value: 'yes', label: w.tape.yes },
              { value: 'no', label: w.tape.no },
            ],
          },
        }
      if (answers[check] === 'no') return rejected(check)
    }
    if (answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: w.tape.verified, help: `${label}. ${w.step.two}` } }
    return {
      say: [{ kind: 'OpeningTapeVerified', body: { tabulator, ...twoBody(answers.two) } }],
      done: { title: w.tape.verified, lines: [w.tape.verifiedHelp] },
    }

    function rejected(first: (typeof CHECKS)[number]): ReturnType<Flow> {
      const printed = first !== 'not-printed'
      if (printed && answers.problems === undefined)
        return {
          ask: {
            id: 'problems',
            kind: 'many',
            ask: w.tape.wrong,
            help: label,
            choices: problemOfTape.options
              .filter(p => p !== 'not-printed')
              .map(value => ({ value, label: w.tapeProblems[value] })),
            preset: [first],
            fills: 'problems',
          },
        }
      if (answers.what === undefined)
        return {
          ask: {
            id: 'what',
            kind: 'text',
            long: true,
            ask: w.tape.what,
            help: w.tape.whatHelp,
            skip: w.tape.skip,
            schema: words,
            fills: 'what',
            guard: true,
          },
        }
      const problems = printed ? asList(answers.problems) : ['not-printed']
      return {
        say: [
          { kind: 'OpeningTapeRejected', body: only({ tabulator, problems, what: asText(answers.what) }) },
        ],
        done: {
          title: w.tape.rejected(label),
          told: w.troubleNames[printed ? 'tape-wrong' : 'tape-not-printed'],
          lines:
            page.polls === 'not-open'
              ? [
                  w.tape.rejectedOpens(time(fromRfc3339(plan.opensAt))),
                  plan.page.openWithSlot ? w.open.withSlot : w.open.asCounty,
                ]
              : [w.meanwhile.out],
          stop: true,
          phone: true,
        },
      }
    }
  }
