'use client'
import type { Errand } from '../../../server/domain/day/state.ts'
import { placeOf } from '../../../server/domain/dispatch/whereabouts.ts'
import { usePlan } from '../../live/useBoard.ts'
import { useErrandLine } from './errandBox.tsx'
import css from './errands.module.css'
import { useErrandsTo, useRoverName } from './useErrands.ts'

const MOST_SHOWN = 3

/** On a line of the call list: who is on it, how they stand and since when. */
export function RoverSign({ precincts }: { precincts: readonly string[] }) {
  const { open } = useErrandsTo(precincts)
  if (open.length === 0) return null
  return (
    <ul className={css.sign}>
      {open.slice(0, MOST_SHOWN).map(errand => (
        <SignLine key={errand.id} errand={errand} withPlace={precincts.length > 1} />
      ))}
      {open.length > MOST_SHOWN && <li>and {open.length - MOST_SHOWN} more rovers</li>}
    </ul>
  )
}

function SignLine({ errand, withPlace }: { errand: Errand; withPlace: boolean }) {
  const plan = usePlan()
  const name = useRoverName()(errand.rover)
  const line = useErrandLine(errand)
  return (
    <li>
      <RoverMark busy />
      <span>
        <strong>{name}</strong>
        {withPlace && ` to ${placeOf(errand.precinct, plan)?.name}`}: {line}
      </span>
    </li>
  )
}

/** A rover's diamond, as on the day strips; filled while on an errand. */
export function RoverMark({ busy }: { busy: boolean }) {
  return (
    <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
      <path
        d="M6 1l5 5l-5 5l-5 -5z"
        fill={busy ? 'currentColor' : 'none'}
        stroke="currentColor"
        strokeWidth="1.4"
      />
    </svg>
  )
}
