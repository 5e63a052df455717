import type { z } from 'zod'
import { tag, words } from '../../../server/domain/log/fields.ts'
import { asText, type Flow, only } from '../asking/question.ts'
import { labelOf } from '../names.ts'
import { standsNow } from '../pageState.ts'
import { EQUIPMENT } from '../wordsOfFlows.ts'

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
