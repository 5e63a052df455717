'use client'
import { fromRfc3339 } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import type { Names } from '../parts/entryWords.ts'

/** What an entry's codes and times are called on this day's board. */
export function useEntryNames(): Names {
  const plan = usePlan()
  const tags = Object.values(plan.equipment).flat()
  return {
    step: code => plan.steps.find(s => s.code === code)?.title ?? code,
    equipment: tag => tags.find(e => e.tag === tag)?.label || tag,
    rover: code => plan.rovers.find(r => r.code === code)?.name ?? code,
    time: text => clockWords(fromRfc3339(text), plan.timeZone),
  }
}
