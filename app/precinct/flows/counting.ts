import { type CountName, count } from '../../../server/domain/log/fields.ts'
import { type Answers, type Around, asNumber, type Flow, type FlowStep, only } from '../asking/question.ts'
import { tabulatorsNow } from '../names.ts'
import type { LastValue } from '../pageState.ts'
import { COUNTS, LINE } from '../wordsOfFlows.ts'

/** A counter that only rises, or (`falls`) only falls; the other way it is asked about. */
type Counter = {
  id: string
  ask: string
  help?: string
  fills: string
  last?: LastValue
  way: 'rises' | 'falls' | 'any'
}

function askCounter(counter: Counter, answers: Answers, around: Around): FlowStep | null {
  const { id, last, way } = counter
  if (answers[id] === undefined)
    return {
      ask: {
        id,
        kind: 'number',
        ask: counter.ask,
        help: counter.help,
        fills: counter.fills,
        schema: count,
        skip: COUNTS.skip,
        last: last && COUNTS.last(last.is, last.at === null ? null : around.timeOf(last.at)),
      },
    }
  const n = asNumber(answers[id])
  if (n === undefined || !last || answers[`${id}:sure`] !== undefined) return null
  const backwards = way === 'rises' ? n < last.is : way === 'falls' ? n > last.is : false
  if (!backwards) return null
  return {
    ask: {
      id: `${id}:sure`,
      kind: 'one',
      ask: n < last.is ? COUNTS.less(n, last.is) : COUNTS.more_(n, last.is),
      choices: [
        { value: 'again', label: COUNTS.again, again: true },
        { value: 'sure', label: COUNTS.sure(n) },
      ],
    },
  }
}

export const counts: Flow = (answers, around) => {
  const { plan, page } = around
  const tabulators = tabulatorsNow(plan, page)
  const main: Counter[] = [
    {
      id: 'checkedIn',
      ask: COUNTS.checkedIn,
      help: COUNTS.checkedInHelp,
      fills: 'checkedIn',
      last: page.counts.checkedIn,
      way: 'rises',
    },
    ...tabulators.map(
      (t): Counter => ({
        id: `public:${t.tag}`,
        ask: COUNTS.publicCount(t.label),
        help: COUNTS.publicHelp,
        fills: `publicCount.${t.tag}`,
        last: page.publicCount[t.tag],
        way: 'rises',
      }),
    ),
  ]
  const rest: Counter[] = (['ballotsLeft', 'spoiled', 'provisional', 'curbside', 'inSlot'] as const)
    .filter(name => name !== 'inSlot' || page.slotOpen || page.inSlot !== null)
    .map(name => ({
      id: name,
      ask: COUNTS[name],
      fills: name,
      last: name === 'inSlot' ? lastInSlot(page.inSlot) : page.counts[name],
      way: name === 'ballotsLeft' ? 'falls' : name === 'inSlot' ? 'any' : 'rises',
    }))
  for (const counter of main) {
    const step = askCounter(counter, answers, around)
    if (step) return step
  }
  if (answers.more === undefined)
    return {
      ask: {
        id: 'more',
        kind: 'one',
        ask: COUNTS.more,
        choices: [
          { value: 'no', label: COUNTS.noMore },
          { value: 'yes', label: COUNTS.addMore },
        ],
      },
    }
  if (answers.more === 'yes')
    for (const counter of rest) {
      const step = askCounter(counter, answers, around)
      if (step) return step
    }
  const publicCount = Object.fromEntries(
    tabulators.flatMap(t => {
      const n = asNumber(answers[`public:${t.tag}`])
      return n === undefined ? [] : [[t.tag, n]]
    }),
  )
  const numbers = Object.fromEntries(
    (['checkedIn', ...rest.map(c => c.id)] as CountName[]).map(id => [id, asNumber(answers[id])]),
  )
  const body = only({
    ...numbers,
    publicCount: Object.keys(publicCount).length > 0 ? publicCount : undefined,
  })
  return { say: [{ kind: 'CountsReported', body }], done: { title: COUNTS.done } }
}

function lastInSlot(inSlot: number | null): LastValue | undefined {
  return inSlot === null ? undefined : { is: inSlot, at: null }
}

export const line: Flow = (answers, { page, timeOf }) => {
  const last = page.counts.inLine
  if (answers.inLine === undefined)
    return {
      ask: {
        id: 'inLine',
        kind: 'number',
        ask: LINE.inLine,
        help: LINE.inLineHelp,
        schema: count,
        fills: 'inLine',
        last: last && COUNTS.last(last.is, last.at === null ? null : timeOf(last.at)),
      },
    }
  if (answers.stations === undefined)
    return {
      ask: {
        id: 'stations',
        kind: 'number',
        ask: LINE.stations,
        schema: count,
        skip: LINE.skip,
        fills: 'stationsWorking',
      },
    }
  const body = only({ inLine: answers.inLine, stationsWorking: asNumber(answers.stations) })
  return { say: [{ kind: 'LineReported', body }], done: { title: LINE.done } }
}
