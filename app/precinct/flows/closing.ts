import { count } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { asNumber, type Flow, only, twoBody } from '../asking/question.ts'
import { labelOf } from '../names.ts'
import { alsoStep } from '../planSteps.ts'

export const close: Flow = (answers, { plan, page, now, time, words: w }) => {
  const closesAt = fromRfc3339(plan.closesAt)
  const early = now < closesAt
  if (answers.closed === undefined)
    return {
      ask: {
        id: 'closed',
        kind: 'one',
        ask: early ? w.close.early(time(now), time(closesAt)) : w.close.close,
        help: w.close.closeHelp,
        choices: early
          ? [
              { value: 'no', label: w.close.notYet, leave: true },
              { value: 'yes', label: w.close.closed, note: w.close.earlyNote },
            ]
          : [
              { value: 'yes', label: w.close.yes },
              { value: 'no', label: w.close.notYet, leave: true },
            ],
      },
    }
  if (answers.inLine === undefined)
    return {
      ask: {
        id: 'inLine',
        kind: 'number',
        ask: w.close.inLine,
        schema: count,
        from: page.counts.inLine?.is ?? 0,
        skip: w.counts.skip,
        fills: 'stillInLine',
      },
    }
  return {
    say: [{ kind: 'PollsClosed', body: only({ stillInLine: asNumber(answers.inLine) }) }],
    done: { title: w.close.done, lines: [w.close.doneHelp] },
  }
}

export const lastVoter: Flow = (answers, { plan, words: w }) =>
  answers.last === undefined
    ? {
        ask: {
          id: 'last',
          kind: 'one',
          ask: w.close.last,
          choices: [
            { value: 'yes', label: w.close.lastYes },
            { value: 'no', label: w.close.lastNotYet, leave: true },
          ],
        },
      }
    : {
        say: [{ kind: 'LastVoterServed', body: {} }, ...alsoStep(plan, 'last-voter')],
        done: { title: w.close.lastDone },
      }

export const closingTape =
  (tabulator: string): Flow =>
  (answers, { plan, page, timeOf, words: w }) => {
    const label = labelOf(plan, tabulator)
    const last = page.publicCount[tabulator]
    if (answers.publicCount === undefined)
      return {
        ask: {
          id: 'publicCount',
          kind: 'number',
          ask: w.closingTape.publicCount(label),
          schema: count,
          fills: 'publicCount',
          last: last && w.counts.last(last.is, last.at === null ? null : timeOf(last.at)),
        },
      }
    const n = asNumber(answers.publicCount) ?? 0
    if (last && n < last.is && answers.sure === undefined)
      return {
        ask: {
          id: 'sure',
          kind: 'one',
          ask: w.counts.less(n, last.is),
          choices: [
            { value: 'again', label: w.counts.again, again: true },
            { value: 'sure', label: w.counts.sure(n) },
          ],
        },
      }
    if (answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: label, help: w.closingTape.two } }
    return {
      say: [{ kind: 'ClosingTapeSigned', body: { tabulator, publicCount: n, ...twoBody(answers.two) } }],
      done: { title: w.closingTape.done },
    }
  }
