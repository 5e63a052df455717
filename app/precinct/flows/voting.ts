import type { z } from 'zod'
import { type CountName, count, tag, words } from '../../../server/domain/log/fields.ts'
import {
  type Answers,
  type Around,
  asNumber,
  asText,
  type Flow,
  type FlowStep,
  only,
} from '../asking/question.ts'
import { labelOf } from '../names.ts'
import type { LastValue } from '../pageState.ts'
import { COUNTS, EQUIPMENT, LINE, SLOT } from '../wordsOfFlows.ts'

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
  const main: Counter[] = [
    {
      id: 'checkedIn',
      ask: COUNTS.checkedIn,
      help: COUNTS.checkedInHelp,
      fills: 'checkedIn',
      last: page.counts.checkedIn,
      way: 'rises',
    },
    ...plan.tabulators.map(
      (t): Counter => ({
        id: `public:${t.tag}`,
        ask: COUNTS.publicCount(labelOf(plan, t.tag)),
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
    plan.tabulators.flatMap(t => {
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

/** What has stopped or works again, by tag. */
export const equipment =
  (equipmentTag: string): Flow =>
  (answers, around) => {
    const { plan, page } = around
    const label = labelOf(plan, equipmentTag)
    const kind = plan.equipment.find(e => e.tag === equipmentTag)?.kind ?? 'tabulator'
    return page.down.includes(equipmentTag)
      ? back(equipmentTag, label, kind)(answers, around)
      : wentDown(equipmentTag, label, kind)(answers, around)
  }

const wentDown =
  (equipmentTag: string, label: string, kind: string): Flow =>
  (answers, { page }) => {
    if (answers.stopped === undefined)
      return {
        ask: {
          id: 'stopped',
          kind: 'one',
          ask: EQUIPMENT.stopped(label),
          choices: [
            { value: 'yes', label: EQUIPMENT.yesStopped },
            { value: 'no', label: EQUIPMENT.no, leave: true },
          ],
        },
      }
    if (answers.what === undefined)
      return {
        ask: {
          id: 'what',
          kind: 'text',
          long: true,
          ask: EQUIPMENT.what,
          help: EQUIPMENT.whatHelp,
          skip: EQUIPMENT.skip,
          schema: words,
          fills: 'what',
          guard: true,
        },
      }
    const slot = kind === 'tabulator' && !page.slotOpen
    return {
      say: [
        { kind: 'EquipmentWentDown', body: only({ equipment: equipmentTag, what: asText(answers.what) }) },
      ],
      done: {
        title: EQUIPMENT.downDone(label),
        lines: [
          ...(slot ? [EQUIPMENT.slotNow] : []),
          ...(kind === 'accessible-station' ? [EQUIPMENT.accessible] : []),
        ],
        stop: slot || kind === 'accessible-station',
        phone: kind === 'tabulator' || kind === 'accessible-station',
        to: slot ? [{ label: EQUIPMENT.toSlot, screen: 'flow/slot-opened' }] : [],
      },
    }
  }

const back =
  (equipmentTag: string, label: string, kind: string): Flow =>
  (answers, { page }) => {
    if (answers.works === undefined)
      return {
        ask: {
          id: 'works',
          kind: 'one',
          ask: EQUIPMENT.works(label),
          choices: [
            { value: 'same', label: EQUIPMENT.same },
            { value: 'other', label: EQUIPMENT.other },
            { value: 'no', label: EQUIPMENT.no, leave: true },
          ],
        },
      }
    if (answers.works === 'other' && answers.by === undefined)
      return {
        ask: {
          id: 'by',
          kind: 'text',
          ask: EQUIPMENT.by,
          help: EQUIPMENT.byHelp,
          schema: tag as z.ZodType<string>,
          fills: 'by',
        },
      }
    const lock = kind === 'tabulator' && page.slotOpen
    return {
      say: [
        answers.works === 'other'
          ? { kind: 'EquipmentReplaced', body: { equipment: equipmentTag, by: asText(answers.by) } }
          : { kind: 'EquipmentRestored', body: { equipment: equipmentTag } },
      ],
      done: {
        title: EQUIPMENT.backDone(label),
        lines: lock ? [EQUIPMENT.lockNow] : [],
        to: lock ? [{ label: EQUIPMENT.toLock, screen: 'flow/slot-locked' }] : [],
      },
    }
  }

export const slotOpened: Flow = answers =>
  answers.two === undefined
    ? { ask: { id: 'two', kind: 'two', ask: EQUIPMENT.toSlot, help: SLOT.two } }
    : {
        say: [{ kind: 'EmergencySlotOpened', body: { byTwo: answers.two === 'two' } }],
        done: { title: SLOT.opened, lines: [SLOT.openedHelp] },
      }

export const slotLocked: Flow = (answers, { page }) => {
  if (answers.inSlot === undefined)
    return {
      ask: {
        id: 'inSlot',
        kind: 'number',
        ask: SLOT.inSlot,
        schema: count,
        skip: SLOT.notCounted,
        fills: 'inSlot',
        last: page.inSlot === null ? undefined : COUNTS.last(page.inSlot, null),
      },
    }
  if (answers.two === undefined)
    return { ask: { id: 'two', kind: 'two', ask: EQUIPMENT.toLock, help: SLOT.two } }
  const body = only({ inSlot: asNumber(answers.inSlot), byTwo: answers.two === 'two' })
  return {
    say: [{ kind: 'EmergencySlotLocked', body }],
    done: { title: SLOT.locked, lines: [SLOT.lockedHelp] },
  }
}

export const slotFed: Flow = (answers, { page }) => {
  if (answers.fed === undefined)
    return { ask: { id: 'fed', kind: 'number', ask: SLOT.fed, schema: count, fills: 'fed' } }
  if (answers.hand === undefined)
    return {
      ask: {
        id: 'hand',
        kind: 'number',
        ask: SLOT.hand,
        schema: count,
        skip: SLOT.none,
        fills: 'handCounted',
      },
    }
  if (answers.over === undefined)
    return {
      ask: {
        id: 'over',
        kind: 'number',
        ask: SLOT.over,
        schema: count,
        skip: SLOT.none,
        fills: 'handedOver',
      },
    }
  const fed = asNumber(answers.fed) ?? 0
  const handCounted = asNumber(answers.hand) ?? 0
  const handedOver = asNumber(answers.over) ?? 0
  const sum = fed + handCounted + handedOver
  if (page.inSlot !== null && sum > page.inSlot && answers.sure === undefined)
    return {
      ask: {
        id: 'sure',
        kind: 'one',
        ask: SLOT.tooMany(sum, page.inSlot),
        choices: [
          { value: 'again', label: COUNTS.again, again: true },
          { value: 'sure', label: SLOT.sure(sum) },
        ],
      },
    }
  if (handedOver > 0 && answers.note === undefined)
    return {
      ask: {
        id: 'note',
        kind: 'text',
        long: true,
        ask: SLOT.overNote,
        schema: words,
        fills: 'note',
        guard: true,
      },
    }
  if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: SLOT.twoFed } }
  const body = only({
    fed,
    handCounted,
    handedOver,
    byTwo: answers.two === 'two',
    note: asText(answers.note),
  })
  return { say: [{ kind: 'SlotBallotsFed', body }], done: { title: SLOT.fedDone } }
}
