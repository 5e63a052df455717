import type { GuideName } from '../../../server/domain/plan/guides.ts'
import type { PlanStep } from '../planSteps.ts'
import type { Words } from '../words/catalogue.ts'
import { DRAWING_OF, type DrawingName } from './troubleParts.ts'

/** `lang`: the plan's words are in another language than the page. */
type Sentence = { text: string; lang?: 'en' }

/** What a question shows before it is answered. */
export type Shows = { drawing: DrawingName; how?: Sentence; see?: Sentence }

/** A step's guide: the county's own words, else ours. A step without a guide shows nothing. */
export function showsOf(step: PlanStep | undefined, words: Words): Shows | undefined {
  if (!step?.guide) return undefined
  const ours = words.guides[step.guide]
  return {
    drawing: DRAWING_OF[step.guide],
    how: countys(step.how, step.howEs, ours.how, words),
    see: countys(step.see, step.seeEs, ours.see, words),
  }
}

function countys(
  en: string | undefined,
  es: string | undefined,
  ours: string,
  { language }: Words,
): Sentence {
  if (language.tag === 'en') return { text: en ?? ours }
  if (es !== undefined) return { text: es }
  return en === undefined ? { text: ours } : { text: en, lang: 'en' }
}

/** The step of the plan that a guide is for; undefined: the plan has none. */
export function stepOfGuide(steps: readonly PlanStep[], guide: GuideName): PlanStep | undefined {
  return steps.find(step => step.guide === guide)
}
