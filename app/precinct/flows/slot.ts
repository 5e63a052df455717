import { count, words } from '../../../server/domain/log/fields.ts'
import { asNumber, asText, type Flow, only } from '../asking/question.ts'
import { BOX, COUNTS, EQUIPMENT, SLOT } from '../wordsOfFlows.ts'

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

/** The full box: opened by two to straighten or take out ballots; a record is made (common practice). */
export const boxOpened: Flow = answers => {
  if (answers.reason === undefined)
    return {
      ask: {
        id: 'reason',
        kind: 'one',
        ask: BOX.reason,
        choices: [
          { value: 'straighten', label: BOX.straighten },
          { value: 'remove', label: BOX.remove },
        ],
      },
    }
  if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: BOX.two } }
  if (answers.note === undefined)
    return {
      ask: {
        id: 'note',
        kind: 'text',
        long: true,
        guard: true,
        ask: BOX.note,
        help: BOX.noteHelp,
        skip: BOX.skip,
        schema: words,
        fills: 'note',
      },
    }
  const byTwo = answers.two === 'two'
  return {
    say: [
      { kind: 'BallotBoxOpened', body: only({ reason: answers.reason, byTwo, note: asText(answers.note) }) },
    ],
    done: byTwo
      ? { title: BOX.done, lines: [BOX.doneHelp], to: [{ label: BOX.toSeals, screen: 'seals' }] }
      : { title: BOX.alone, lines: [BOX.aloneHelp], stop: true, phone: true },
  }
}
