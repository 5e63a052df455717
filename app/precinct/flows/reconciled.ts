import { z } from 'zod'
import {
  type CountsAtClose,
  closingDifferences,
  holdsAtClose,
} from '../../../server/domain/reconcile/close.ts'
import { asText, type Flow, only, twoBody } from '../asking/question.ts'
import { alsoStep } from '../planSteps.ts'

/** Both explanations stand in one field of the report: together at most 1,000 characters. */
const SLOT_WORDS = 300
const DIFFERENCE_WORDS = 690
const text = (most: number) => z.string().trim().min(1).max(most)

/**
 * What follows the sheet: a difference is explained or said not to be, ballots left in the slot are always explained,
 * two people confirm. A number is never refused for not agreeing.
 *
 * @param slotHolds Ballots still lie in the slot, or may.
 */
export const reconciled =
  (counts: CountsAtClose, slotHolds: boolean): Flow =>
  (answers, { plan, words: w }) => {
    if (slotHolds && answers.slotWhy === undefined)
      return {
        ask: {
          id: 'slotWhy',
          kind: 'text',
          long: true,
          guard: true,
          ask: w.reconcile.slotWhy,
          help: w.incident.whatHelp,
          schema: text(SLOT_WORDS),
          fills: 'explanation',
        },
      }
    const holds = holdsAtClose(closingDifferences(counts), plan.countTolerance)
    if (!holds && answers.explanation === undefined)
      return {
        ask: {
          id: 'explanation',
          kind: 'text',
          long: true,
          guard: true,
          ask: w.reconcile.explain,
          help: w.reconcile.explainHelp,
          skip: w.reconcile.cannot,
          schema: text(DIFFERENCE_WORDS),
          fills: 'explanation',
        },
      }
    if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: w.reconcile.two } }
    const two = twoBody(answers.two)
    const explanation = [asText(answers.slotWhy), asText(answers.explanation)].filter(Boolean).join(' · ')
    return {
      say: [
        {
          kind: 'CountsReconciled',
          body: only({ ...counts, ...two, explanation: explanation || undefined }),
        },
        ...alsoStep(plan, 'reconcile', two),
      ],
      done: { title: w.reconcile.done, lines: holds ? [] : [w.reconcile.doneDiffers] },
    }
  }
