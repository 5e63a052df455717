'use client'
import { lastKnown, openErrandsOf } from '../../../server/domain/dispatch/whereabouts.ts'
import type { RoverBrief } from '../../../server/protocol/board.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'
import side from '../side.module.css'
import { ErrandBox } from './errandBox.tsx'
import css from './errands.module.css'
import { knownWords } from './roverChoice.tsx'
import { RoverMark } from './roverSign.tsx'

/** Every rover of the plan: where they are as far as anybody said, what they are on; open errands first. */
export function Rovers() {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  const rovers = plan.rovers.map(rover => ({ rover, open: openErrandsOf(rover.code, errands) }))
  rovers.sort((a, b) => Number(b.open.length > 0) - Number(a.open.length > 0))
  const away = rovers.filter(r => r.open.length > 0).length
  return (
    <section aria-labelledby="rovers">
      <div className={side.top}>
        <h2 id="rovers">Rovers</h2>
        <span>
          {away} on errands, {rovers.length - away} free
        </span>
      </div>
      {rovers.length === 0 ? (
        <p className={side.none}>The plan names no rovers.</p>
      ) : (
        <ul className={side.rovers}>
          {rovers.map(({ rover, open }) => (
            <li key={rover.code}>
              <RoverMark busy={open.length > 0} />
              <div>
                <p className={side.rover}>
                  {rover.name} {rover.phone !== '' && <a href={`tel:${rover.phone}`}>{rover.phone}</a>}
                </p>
                {open.map(errand => (
                  <ErrandBox key={errand.id} errand={errand} withPlace={true} />
                ))}
                {open.length === 0 && <Free rover={rover} />}
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

function Free({ rover }: { rover: RoverBrief }) {
  const plan = usePlan()
  const errands = useBoard(s => s.errands)
  const at = lastKnown(rover, errands, plan)
  return (
    <p className={css.free}>
      free, {knownWords(at, plan.timeZone)}
      {rover.skills.length > 0 && ` · ${rover.skills.join(', ')}`}
    </p>
  )
}
