import { z } from 'zod'
import { count, words } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { asList, asNumber, asText, type Flow, only } from '../asking/question.ts'
import { labelOf } from '../names.ts'
import { alsoStep } from '../planSteps.ts'
import { CLOSE, CLOSING_TAPE, COUNTS, RECONCILE, RETURN } from '../wordsOfFlows.ts'

export const close: Flow = (answers, { plan, now, time }) => {
  const closesAt = fromRfc3339(plan.closesAt)
  const early = now < closesAt
  if (answers.closed === undefined)
    return {
      ask: {
        id: 'closed',
        kind: 'one',
        ask: early ? CLOSE.early(time(now), time(closesAt)) : CLOSE.close,
        help: CLOSE.closeHelp,
        choices: early
          ? [
              { value: 'no', label: CLOSE.notYet, leave: true },
              { value: 'yes', label: CLOSE.closed, note: CLOSE.earlyNote },
            ]
          : [
              { value: 'yes', label: CLOSE.yes },
              { value: 'no', label: CLOSE.notYet, leave: true },
            ],
      },
    }
  if (answers.inLine === undefined)
    return {
      ask: {
        id: 'inLine',
        kind: 'number',
        ask: CLOSE.inLine,
        schema: count,
        skip: COUNTS.skip,
        fills: 'stillInLine',
      },
    }
  return {
    say: [{ kind: 'PollsClosed', body: only({ stillInLine: asNumber(answers.inLine) }) }],
    done: { title: CLOSE.done, lines: [CLOSE.doneHelp] },
  }
}

export const lastVoter: Flow = (answers, { plan }) =>
  answers.last === undefined
    ? {
        ask: {
          id: 'last',
          kind: 'one',
          ask: CLOSE.last,
          choices: [
            { value: 'yes', label: CLOSE.lastYes },
            { value: 'no', label: 'Not yet', leave: true },
          ],
        },
      }
    : {
        say: [{ kind: 'LastVoterServed', body: {} }, ...alsoStep(plan, 'last-voter')],
        done: { title: CLOSE.lastDone },
      }

export const closingTape =
  (tabulator: string): Flow =>
  (answers, { plan, page, timeOf }) => {
    const label = labelOf(plan, tabulator)
    const last = page.publicCount[tabulator]
    if (answers.publicCount === undefined)
      return {
        ask: {
          id: 'publicCount',
          kind: 'number',
          ask: CLOSING_TAPE.publicCount(label),
          schema: count,
          fills: 'publicCount',
          last: last && COUNTS.last(last.is, last.at === null ? null : timeOf(last.at)),
        },
      }
    const n = asNumber(answers.publicCount) ?? 0
    if (last && n < last.is && answers.sure === undefined)
      return {
        ask: {
          id: 'sure',
          kind: 'one',
          ask: COUNTS.less(n, last.is),
          choices: [
            { value: 'again', label: COUNTS.again, again: true },
            { value: 'sure', label: COUNTS.sure(n) },
          ],
        },
      }
    if (answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: label, help: CLOSING_TAPE.two } }
    return {
      say: [{ kind: 'ClosingTapeSigned', body: { tabulator, publicCount: n, byTwo: answers.two === 'two' } }],
      done: { title: CLOSING_TAPE.done },
    }
  }

const PARTS = [
  'delivered',
  'left',
  'tabulated',
  'inSlot',
  'spoiled',
  'provisional',
  'challenged',
  'checkedIn',
] as const

export const reconcile: Flow = (answers, { plan, page }) => {
  for (const part of PARTS)
    if (answers[part] === undefined)
      return {
        ask: {
          id: part,
          kind: 'number',
          ask: RECONCILE[part],
          help:
            part === 'delivered'
              ? RECONCILE.deliveredHelp(plan.precinct.ballots)
              : part === 'tabulated'
                ? RECONCILE.tabulatedHelp
                : undefined,
          schema: count,
          fills: part,
          last: lastOf(part),
        },
      }
  const is = (part: (typeof PARTS)[number]) => asNumber(answers[part]) ?? 0
  const used = is('delivered') - is('left')
  const found = is('tabulated') + is('inSlot') + is('spoiled') + is('provisional') + is('challenged')
  const voted = is('tabulated') + is('inSlot')
  // Some rosters count provisional voters as checked in and some don't: either way is explained.
  const votersAgree = is('checkedIn') === voted || is('checkedIn') === voted + is('provisional')
  const agrees = used === found && votersAgree
  if (!agrees && answers.explanation === undefined)
    return {
      ask: {
        id: 'explanation',
        kind: 'text',
        long: true,
        guard: true,
        ask: RECONCILE.explain,
        help: [
          ...(used === found ? [] : [RECONCILE.ballots(used, found)]),
          ...(votersAgree ? [] : [RECONCILE.voters(is('checkedIn'), voted)]),
          RECONCILE.explainHelp,
        ].join(' '),
        skip: RECONCILE.cannot,
        schema: words,
        fills: 'explanation',
      },
    }
  if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: RECONCILE.two } }
  const body = only({
    ...Object.fromEntries(PARTS.map(part => [part, is(part)])),
    explanation: asText(answers.explanation),
  })
  return {
    say: [{ kind: 'CountsReconciled', body }, ...alsoStep(plan, 'reconcile', answers.two === 'two')],
    done: { title: RECONCILE.done, lines: agrees ? [] : [RECONCILE.doneDiffers] },
  }

  function lastOf(part: (typeof PARTS)[number]): string | undefined {
    const known =
      part === 'left'
        ? page.counts.ballotsLeft?.is
        : part === 'inSlot'
          ? (page.inSlot ?? undefined)
          : part === 'spoiled' || part === 'provisional' || part === 'checkedIn'
            ? page.counts[part]?.is
            : undefined
    return known === undefined ? undefined : COUNTS.last(known, null)
  }
}

/** One seal number a line, empty lines left out; the office checks each. */
const sealLines = z.string().max(2_000)

export const depart: Flow = answers => {
  if (answers.carriers === undefined)
    return {
      ask: {
        id: 'carriers',
        kind: 'number',
        ask: RETURN.carriers,
        help: RETURN.carriersHelp,
        schema: z.int().min(1).max(6),
        fills: 'carriers',
      },
    }
  if (answers.items === undefined)
    return {
      ask: {
        id: 'items',
        kind: 'many',
        ask: RETURN.items,
        choices: Object.entries(RETURN.list).map(([value, label]) => ({ value, label })),
        none: RETURN.nothing,
        fills: 'items',
      },
    }
  if (answers.seals === undefined)
    return {
      ask: {
        id: 'seals',
        kind: 'text',
        long: true,
        ask: RETURN.seals,
        help: RETURN.sealsHelp,
        skip: RETURN.skip,
        schema: sealLines,
        fills: 'seals',
      },
    }
  const seals = (asText(answers.seals) ?? '')
    .split('\n')
    .map(s => s.trim())
    .filter(Boolean)
  return {
    say: [
      { kind: 'ReturnDeparted', body: { carriers: answers.carriers, items: asList(answers.items), seals } },
    ],
    done: { title: RETURN.done, lines: [RETURN.doneHelp] },
  }
}
