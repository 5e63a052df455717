import { type CountName, count } from '../../../server/domain/log/fields.ts'
import { type Answers, type Around, asNumber, type Flow, type FlowStep, only } from '../asking/question.ts'
import { tabulatorsNow } from '../names.ts'
import type { LastValue } from '../pageState.ts'

/** A counter that only rises, or (`falls`) only falls; the other way it is asked about. */
type Counter = {
  id: string
  ask: string
  help?: string
  fills: string
  last?: LastValue
  /** Label of what leaves it out; null: it must be given. */
  skip?: string | null
  way: 'rises' | 'falls' | 'any'
}

/** Asks for a counter, and where it went backwards which is right; null: it is answered. */
export function askCounter(counter: Counter, answers: Answers, around: Around): FlowStep | null {
  const { id, last, way } = counter
  const { counts: w } = around.words
  if (answers[id] === undefined)
    return {
      ask: {
        id,
        kind: 'number',
        ask: counter.ask,
        help: counter.help,
        fills: counter.fills,
        schema: count,
        skip: counter.skip === null ? undefined : (counter.skip ?? w.skip),
        from: last?.is ?? 0,
        last: last && w.last(last.is, last.at === null ? null : around.timeOf(last.at)),
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
      ask: n < last.is ? w.less(n, last.is) : w.more_(n, last.is),
      choices: [
        { value: 'again', label: w.again, again: true },
        { value: 'sure', label: w.sure(n) },
      ],
    },
  }
}

export const counts: Flow = (answers, around) => {
  const { plan, page, words: w } = around
  const tabulators = tabulatorsNow(plan, page, w)
  const main: Counter[] = [
    {
      id: 'checkedIn',
      ask: w.counts.checkedIn,
      help: w.counts.checkedInHelp,
      fills: 'checkedIn',
      last: page.counts.checkedIn,
      way: 'rises',
    },
    ...tabulators.map(
      (t): Counter => ({
        id: `public:${t.tag}`,
        ask: w.counts.publicCount(t.label),
        help: w.counts.publicHelp,
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
      ask: w.counts[name],
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
        ask: w.counts.more,
        choices: [
          { value: 'no', label: w.counts.noMore },
          { value: 'yes', label: w.counts.addMore },
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
  return { say: [{ kind: 'CountsReported', body }], done: { title: w.counts.done } }
}

/** One count by itself, for what changes between the hourly counts. */
export const oneCount =
  (name: 'curbside' | 'provisional' | 'spoiled'): Flow =>
  (answers, around) => {
    const { counts: w } = around.words
    const last = around.page.counts[name]
    const counter: Counter = { id: name, ask: w[name], fills: name, last, skip: null, way: 'rises' }
    return (
      askCounter(counter, answers, around) ?? {
        say: [{ kind: 'CountsReported', body: { [name]: answers[name] } }],
        done: { title: w.done },
      }
    )
  }

function lastInSlot(inSlot: number | null): LastValue | undefined {
  return inSlot === null ? undefined : { is: inSlot, at: null }
}

export const line: Flow = (answers, { page, timeOf, words: w }) => {
  const last = page.counts.inLine
  if (answers.inLine === undefined)
    return {
      ask: {
        id: 'inLine',
        kind: 'number',
        ask: w.line.inLine,
        help: w.line.inLineHelp,
        schema: count,
        fills: 'inLine',
        from: last?.is ?? 0,
        last: last && w.counts.last(last.is, last.at === null ? null : timeOf(last.at)),
      },
    }
  if (answers.stations === undefined)
    return {
      ask: {
        id: 'stations',
        kind: 'number',
        ask: w.line.stations,
        schema: count,
        skip: w.line.skip,
        fills: 'stationsWorking',
      },
    }
  const body = only({ inLine: answers.inLine, stationsWorking: asNumber(answers.stations) })
  return { say: [{ kind: 'LineReported', body }], done: { title: w.line.done } }
}
