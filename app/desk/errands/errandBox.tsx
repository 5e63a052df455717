'use client'
import type { Errand } from '../../../server/domain/day/state.ts'
import { expectedOf, placeOf } from '../../../server/domain/dispatch/whereabouts.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { useBoard, useDayNow, usePlan } from '../../live/useBoard.ts'
import { errandWords, expectedWords } from '../../parts/errandWords.ts'
import { useDesk } from '../deskContext.ts'
import { ErrandMoves } from './errandMoves.tsx'
import css from './errands.module.css'

/** How an errand stands and when its rover is expected, in words. */
export function useErrandLine(errand: Errand): string {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  const now = useDayNow(MINUTE)
  const expected = expectedOf(errand, errands, plan)
  const words = errandWords(errand, plan.timeZone)
  return expected ? `${words}; ${expectedWords(expected, now, plan.timeZone)}` : words
}

/** An open errand: where to, how it stands, and what the desk may write in when its rover rings. */
export function ErrandBox({ errand, withPlace }: { errand: Errand; withPlace: boolean }) {
  const plan = usePlan()
  const { mayAct, open } = useDesk()
  const line = useErrandLine(errand)
  const place = placeOf(errand.precinct, plan)
  return (
    <div className={css.box}>
      {withPlace && (
        <button type="button" className={css.place} onClick={() => open(errand.precinct)}>
          {place?.name ?? errand.precinct}
        </button>
      )}
      <p>{line}</p>
      {mayAct && <ErrandMoves errand={errand} />}
    </div>
  )
}
