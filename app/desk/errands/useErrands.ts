'use client'
import { isOpenErrand } from '../../../server/domain/day/errand.ts'
import type { Errand } from '../../../server/domain/day/state.ts'
import { placeOf } from '../../../server/domain/dispatch/whereabouts.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'

/** Errands to the places of some precincts, latest first: the open ones, and those that ended. */
export function useErrandsTo(precincts: readonly string[]): { open: Errand[]; ended: Errand[] } {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  const places = new Set(precincts.map(code => placeOf(code, plan)?.code))
  const there = errands.filter(e => places.has(placeOf(e.precinct, plan)?.code)).reverse()
  return { open: there.filter(isOpenErrand), ended: there.filter(e => !isOpenErrand(e)) }
}

/** What a rover is called. */
export function useRoverName(): (code: string) => string {
  const plan = usePlan()
  return code => plan.rovers.find(r => r.code === code)?.name ?? code
}
