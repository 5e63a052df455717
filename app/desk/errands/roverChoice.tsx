'use client'
import type { Errand } from '../../../server/domain/day/state.ts'
import type { Trip } from '../../../server/domain/dispatch/travel.ts'
import {
  type LastKnown,
  lastKnown,
  openErrandsOf,
  placeOf,
  tripTo,
} from '../../../server/domain/dispatch/whereabouts.ts'
import type { RoverBrief } from '../../../server/protocol/board.ts'
import { clockWords } from '../../live/clock.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'
import { errandWords, tripWords } from '../../parts/errandWords.ts'
import css from './errands.module.css'

export type Choice = { rover: RoverBrief; open: Errand[]; at: LastKnown | null; trip: Trip | null }

/** The plan's rovers for an errand to a precinct: free before busy, near before far, then by name. */
export function useRoversBy(precinct: string): Choice[] {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  return plan.rovers
    .map(rover => {
      const at = lastKnown(rover, errands, plan)
      return { rover, at, open: openErrandsOf(rover.code, errands), trip: tripTo(precinct, at, plan) }
    })
    .sort(
      (a, b) =>
        Number(a.open.length > 0) - Number(b.open.length > 0) ||
        (a.trip?.km ?? Number.MAX_VALUE) - (b.trip?.km ?? Number.MAX_VALUE) ||
        a.rover.name.localeCompare(b.rover.name),
    )
}

/** Where a rover is, as far as anybody said so. */
export function knownWords(at: LastKnown | null, timeZone: string): string {
  if (at === null) return 'nobody said where'
  return at.since === null ? `base ${at.name}` : `last at ${at.name}, ${clockWords(at.since, timeZone)}`
}

export function RoverChoice({
  choice: { rover, open, at, trip },
  chosen,
  first,
  onChoose,
}: {
  choice: Choice
  chosen: boolean
  first: boolean
  onChoose(): void
}) {
  const plan = usePlan()
  const [on] = open
  return (
    <label className={css.choice}>
      <input
        type="radio"
        name="rover"
        checked={chosen}
        onChange={onChoose}
        // biome-ignore lint/a11y/noAutofocus: the form opens at the person's own press
        autoFocus={first}
      />
      <span>
        <strong>{rover.name}</strong>
        {trip && ` · ${tripWords(trip)}`}
        <br />
        <span className="soft">
          {on
            ? `to ${placeOf(on.precinct, plan)?.name}: ${errandWords(on, plan.timeZone)}`
            : `free, ${knownWords(at, plan.timeZone)}`}
          {on && at && `; ${knownWords(at, plan.timeZone)}`}
          {rover.skills.length > 0 && ` · ${rover.skills.join(', ')}`}
        </span>
      </span>
    </label>
  )
}
