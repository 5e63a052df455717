import type { z } from 'zod'
import { tag, words } from '../../../server/domain/log/fields.ts'
import { asNumber, asText, type Flow, only } from '../asking/question.ts'
import { labelOf } from '../names.ts'
import { tabulatorsOut } from '../outOfUse.ts'
import { standsNow } from '../pageState.ts'
import { askCounter } from './counting.ts'

/** What has stopped or works again, by tag. */
export const equipment =
  (equipmentTag: string): Flow =>
  (answers, around) => {
    const { plan, page } = around
    const label = labelOf(plan, equipmentTag)
    const kind =
      plan.equipment.find(e => standsNow(e.tag, page.replaced) === equipmentTag)?.kind ?? 'tabulator'
    return page.down.includes(equipmentTag)
      ? back(equipmentTag, label, kind)(answers, around)
      : wentDown(equipmentTag, label, kind)(answers, around)
  }

const wentDown =
  (equipmentTag: string, label: string, kind: string): Flow =>
  (answers, around) => {
    const { plan, page, words: w } = around
    // Kept out of use, it is replaced though it never stopped.
    const out = tabulatorsOut(plan, page).get(equipmentTag)
    if (answers.stopped === undefined)
      return {
        ask: {
          id: 'stopped',
          kind: 'one',
          ask: w.equipment.stopped(label),
          choices: [
            { value: 'yes', label: w.equipment.yesStopped },
            ...(out ? [{ value: 'other', label: w.equipment.other, note: w.outOfUse.note[out] }] : []),
            { value: 'no', label: w.equipment.no, leave: true },
          ],
        },
      }
    if (answers.stopped === 'other') return replaced(equipmentTag, label, kind)(answers, around)
    if (answers.what === undefined)
      return {
        ask: {
          id: 'what',
          kind: 'text',
          long: true,
          ask: w.equipment.what,
          help: w.equipment.whatHelp,
          skip: w.equipment.skip,
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
        title: w.equipment.downDone(label),
        lines: [
          ...(slot ? [w.equipment.slotNow] : []),
          ...(kind === 'accessible-station' ? [w.equipment.accessible] : []),
        ],
        stop: slot || kind === 'accessible-station',
        phone: kind === 'tabulator' || kind === 'accessible-station',
        to: slot ? [{ label: w.equipment.toSlot, screen: 'flow/slot-opened' }] : [],
      },
    }
  }

const back =
  (equipmentTag: string, label: string, kind: string): Flow =>
  (answers, around) => {
    const { page, words: w } = around
    if (answers.works === undefined)
      return {
        ask: {
          id: 'works',
          kind: 'one',
          ask: w.equipment.works(label),
          choices: [
            { value: 'same', label: w.equipment.same },
            { value: 'other', label: w.equipment.other },
            { value: 'no', label: w.equipment.no, leave: true },
          ],
        },
      }
    if (answers.works === 'other') return replaced(equipmentTag, label, kind)(answers, around)
    const lock = kind === 'tabulator' && page.slotOpen
    return {
      say: [{ kind: 'EquipmentRestored', body: { equipment: equipmentTag } }],
      done: {
        title: w.equipment.backDone(label),
        lines: lock ? [w.equipment.lockNow] : [],
        to: lock ? [{ label: w.equipment.toLock, screen: 'flow/slot-locked' }] : [],
      },
    }
  }

/** A tabulator's own count is asked before it goes: the one in its place starts anew (common practice). */
const replaced =
  (equipmentTag: string, label: string, kind: string): Flow =>
  (answers, around) => {
    const { plan, page, words: w } = around
    const tabulator = kind === 'tabulator'
    if (tabulator) {
      const counter = {
        id: 'oldCount',
        ask: w.equipment.oldCount(label),
        help: w.equipment.oldCountHelp,
        skip: w.equipment.oldCountUnknown,
        fills: `publicCount.${equipmentTag}`,
        last: page.publicCount[equipmentTag],
        way: 'rises' as const,
      }
      const step = askCounter(counter, answers, around)
      if (step) return step
    }
    if (answers.by === undefined)
      return {
        ask: {
          id: 'by',
          kind: 'text',
          ask: w.equipment.by,
          help: w.equipment.byHelp,
          schema: tag as z.ZodType<string>,
          fills: 'by',
        },
      }
    const by = asText(answers.by) ?? ''
    const here = plan.equipment.map(e => standsNow(e.tag, page.replaced))
    if (here.includes(by) && answers.sameTag === undefined)
      return {
        ask: {
          id: 'sameTag',
          kind: 'one',
          ask: w.equipment.sameTag(by),
          choices: [
            { value: 'again', label: w.counts.again, again: true },
            ...(by === equipmentTag ? [] : [{ value: 'sure', label: w.equipment.sameTagSure }]),
          ],
        },
      }
    const oldCount = asNumber(answers.oldCount)
    return {
      say: [
        ...(oldCount === undefined
          ? []
          : [{ kind: 'CountsReported' as const, body: { publicCount: { [equipmentTag]: oldCount } } }]),
        { kind: 'EquipmentReplaced', body: { equipment: equipmentTag, by } },
      ],
      done: tabulator
        ? {
            title: w.equipment.newDone(label),
            lines: [w.equipment.newCount, w.equipment.newTape],
            to: [
              { label: w.equipment.toTape, screen: `flow/tape/${encodeURIComponent(by)}` },
              { label: w.equipment.toSeals, screen: 'custody' },
            ],
          }
        : { title: w.equipment.backDone(label) },
    }
  }
