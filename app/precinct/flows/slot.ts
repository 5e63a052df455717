import { count, sealNumber, words } from '../../../server/domain/log/fields.ts'
import { BALLOT_BOX } from '../../live/deviceSaid.ts'
import { asNumber, asText, type Done, type Flow, only, twoBody } from '../asking/question.ts'
import type { Words } from '../words/catalogue.ts'

export const slotOpened: Flow = (answers, { words: w }) =>
  answers.two === undefined
    ? { ask: { id: 'two', kind: 'two', ask: w.equipment.toSlot, help: w.slot.two } }
    : {
        say: [{ kind: 'EmergencySlotOpened', body: twoBody(answers.two) }],
        done: { title: w.slot.opened, lines: [w.slot.openedHelp, w.slot.openedLock] },
      }

export const slotLocked: Flow = (answers, { page, words: w }) => {
  if (answers.inSlot === undefined)
    return {
      ask: {
        id: 'inSlot',
        kind: 'number',
        ask: w.slot.inSlot,
        schema: count,
        from: page.inSlot ?? 0,
        skip: w.slot.notCounted,
        fills: 'inSlot',
        last: page.inSlot === null ? undefined : w.counts.last(page.inSlot, null),
      },
    }
  if (answers.two === undefined)
    return { ask: { id: 'two', kind: 'two', ask: w.equipment.toLock, help: w.slot.two } }
  const inSlot = asNumber(answers.inSlot)
  const body = only({ inSlot, ...twoBody(answers.two) })
  return {
    say: [{ kind: 'EmergencySlotLocked', body }],
    done: {
      title: w.slot.locked,
      lines: [w.slot.lockedHelp],
      to: (inSlot ?? page.inSlot ?? 0) > 0 ? [{ label: w.slot.toFeed, screen: 'flow/slot-fed' }] : [],
    },
  }
}

export const slotFed: Flow = (answers, { page, words: w }) => {
  if (answers.fed === undefined)
    return { ask: { id: 'fed', kind: 'number', ask: w.slot.fed, schema: count, fills: 'fed' } }
  if (answers.hand === undefined)
    return {
      ask: {
        id: 'hand',
        kind: 'number',
        ask: w.slot.hand,
        schema: count,
        skip: w.slot.none,
        fills: 'handCounted',
      },
    }
  if (answers.over === undefined)
    return {
      ask: {
        id: 'over',
        kind: 'number',
        ask: w.slot.over,
        schema: count,
        skip: w.slot.none,
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
        ask: w.slot.tooMany(sum, page.inSlot),
        choices: [
          { value: 'again', label: w.counts.again, again: true },
          { value: 'sure', label: w.slot.sure(sum) },
        ],
      },
    }
  if (handedOver > 0 && answers.note === undefined)
    return {
      ask: {
        id: 'note',
        kind: 'text',
        long: true,
        ask: w.slot.overNote,
        schema: words,
        fills: 'note',
        guard: true,
      },
    }
  if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: w.slot.twoFed } }
  const body = only({
    fed,
    handCounted,
    handedOver,
    ...twoBody(answers.two),
    note: asText(answers.note),
  })
  const still = Math.max(0, (page.inSlot ?? 0) - sum)
  return {
    say: [{ kind: 'SlotBallotsFed', body }],
    done: { title: w.slot.fedDone, lines: still > 0 ? [w.slot.still(still)] : [] },
  }
}

/**
 * The full box: opened by two to straighten or take out ballots; a record is made, and a new seal put on (common
 * practice).
 */
export const boxOpened: Flow = (answers, { words: w }) => {
  if (answers.reason === undefined)
    return {
      ask: {
        id: 'reason',
        kind: 'one',
        ask: w.box.reason,
        choices: [
          { value: 'straighten', label: w.box.straighten },
          { value: 'remove', label: w.box.remove },
        ],
      },
    }
  if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: w.box.two } }
  const { byTwo, ...parties } = twoBody(answers.two)
  if (byTwo && answers.sealed === undefined)
    return {
      ask: {
        id: 'sealed',
        kind: 'one',
        ask: w.box.sealed,
        choices: [
          { value: 'yes', label: w.box.sealedYes },
          { value: 'not-yet', label: w.box.sealedNotYet },
          { value: 'none', label: w.box.sealedNone },
        ],
      },
    }
  if (answers.sealed === 'yes' && answers.number === undefined)
    return {
      ask: {
        id: 'number',
        kind: 'text',
        ask: w.box.number,
        help: w.sealing.onHelp,
        schema: sealNumber,
        fills: 'found',
      },
    }
  if (answers.note === undefined)
    return {
      ask: {
        id: 'note',
        kind: 'text',
        long: true,
        guard: true,
        ask: w.box.note,
        help: w.box.noteHelp,
        skip: w.box.skip,
        schema: words,
        fills: 'note',
      },
    }
  const opened = only({ reason: answers.reason, byTwo, ...parties, note: asText(answers.note) })
  const seal = { container: BALLOT_BOX, found: asText(answers.number), state: 'intact', act: 'applied' }
  return {
    say: [
      { kind: 'BallotBoxOpened', body: opened },
      ...(answers.sealed === 'yes' ? [{ kind: 'SealRecorded' as const, body: seal }] : []),
    ],
    done: boxDone(byTwo, answers.sealed === 'not-yet', w),
  }
}

function boxDone(byTwo: boolean, unsealed: boolean, w: Words): Done {
  if (!byTwo) return { title: w.box.alone, lines: [w.box.aloneHelp], stop: true, phone: true }
  if (!unsealed) return { title: w.box.done }
  const to = [{ label: w.box.toSeal, screen: `flow/seal-on/${BALLOT_BOX}` }]
  return { title: w.box.done, lines: [w.box.sealNow], to }
}
