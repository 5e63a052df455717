import { join } from 'node:path'
import { practiceDay } from '../../../seed/simulator/script.ts'
import { readPlanFolder } from '../../../server/cli/planFiles.ts'
import { indexOf } from '../../../server/domain/plan/brief.ts'

/** Ellery's plan and its practice day of a seed. */
export const ellery = (() => {
  const read = readPlanFolder(join(import.meta.dirname, '../../../seed/ellery'))
  if (!('plan' in read)) throw new Error(JSON.stringify(read.faults[0]))
  return read.plan
})()
export const index = indexOf(ellery, ellery.date)

export const SEEDS = [1, 7, 2026] as const
const days = new Map<number, ReturnType<typeof practiceDay>>()
export function dayOf(seed: number) {
  const known = days.get(seed) ?? practiceDay(ellery, seed)
  days.set(seed, known)
  return known
}

export const factsOf = (seed: number, precinct: string) => dayOf(seed).precincts.get(precinct)!.facts
