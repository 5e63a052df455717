import { z } from 'zod'
import { sealNumber, words } from '../../../server/domain/log/fields.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { asList, asNumber, asText, type Flow, linesOf, only, twoBody } from '../asking/question.ts'
import { sealedWith } from '../custodyHere.ts'
import { containerWords } from '../names.ts'
import type { PageState } from '../pageState.ts'

/** Containers that are sealed in the evening and have no seal put on by what is on record here. */
export function unsealedAtClose(plan: DevicePlan, page: Pick<PageState, 'sealWork'>): string[] {
  return plan.closingContainers.filter(container => {
    const last = page.sealWork.filter(one => one.container === container).at(-1)
    return last === undefined || last.act === 'removed' || last.act === 'opened' || last.state === 'missing'
  })
}

/** The return leaves. A container without a seal on record is warned of, and keeps nobody. */
export const depart: Flow = (answers, { plan, page, words: w }) => {
  const unsealed = unsealedAtClose(plan, page)
  if (unsealed.length > 0 && answers.unsealed === undefined)
    return {
      ask: {
        id: 'unsealed',
        kind: 'one',
        ask: w.returning.unsealed(unsealed.map(c => containerWords(c, w)).join(', ')),
        help: w.returning.unsealedHelp,
        choices: [
          { value: 'custody', label: w.returning.toCustody, go: 'custody' },
          { value: 'go', label: w.returning.goUnsealed },
        ],
      },
    }
  if (answers.carriers === undefined)
    return {
      ask: {
        id: 'carriers',
        kind: 'number',
        ask: w.returning.carriers,
        help: w.returning.carriersHelp,
        schema: z.int().min(1).max(6),
        fills: 'carriers',
      },
    }
  if ((asNumber(answers.carriers) ?? 1) > 1 && answers.two === undefined)
    return { ask: { id: 'two', kind: 'two', ask: w.returning.two } }
  if (plan.page.carrierNames && answers.carriedBy === undefined)
    return {
      ask: {
        id: 'carriedBy',
        kind: 'text',
        guard: 'names-fit',
        long: true,
        ask: w.returning.carriedBy,
        help: w.returning.carriedByHelp,
        skip: w.equipment.skip,
        schema: words,
        fills: 'carriedBy',
      },
    }
  if (answers.items === undefined)
    return {
      ask: {
        id: 'items',
        kind: 'many',
        ask: w.returning.items,
        choices: Object.entries(w.returning.list).map(([value, label]) => ({ value, label })),
        none: w.returning.nothing,
        fills: 'items',
      },
    }
  if (answers.seals === undefined)
    return {
      ask: {
        id: 'seals',
        kind: 'text',
        long: true,
        ask: w.returning.seals,
        help: w.returning.sealsHelp,
        skip: w.returning.skip,
        schema: sealNumber,
        lines: true,
        preset: plan.closingContainers.flatMap(c => sealedWith(page.sealWork, c)).join('\n'),
        fills: 'seals',
      },
    }
  const seals = linesOf(asText(answers.seals) ?? '')
  const body = only({
    carriers: answers.carriers,
    items: asList(answers.items),
    seals,
    partiesDiffer: twoBody(answers.two).partiesDiffer,
    carriedBy: asText(answers.carriedBy),
  })
  return {
    say: [{ kind: 'ReturnDeparted', body }],
    done: { title: w.returning.done, lines: [w.returning.straight, w.returning.doneHelp, w.returning.late] },
  }
}
