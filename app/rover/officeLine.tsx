'use client'
import { clockWords, dayNow } from '../live/clock.ts'
import { useBoard, usePlan } from '../live/useBoard.ts'
import { MOVES } from '../parts/errandWords.ts'
import css from './rover.module.css'
import type { Taps, TapsState } from './taps.ts'

/** What the office knows: whether all that was pressed has reached it, and of when this picture is. */
export function OfficeLine({ taps, state }: { taps: Taps; state: TapsState }) {
  const plan = usePlan()
  const link = useBoard(s => s.link)
  const clock = useBoard(s => s.clock)
  const pictureOf = useBoard(s => s.pictureOf)
  const refused = useBoard(s => s.refused)
  const time = (at: number) => clockWords(at, plan.timeZone)
  const n = state.waiting.length
  const lost = link.is === 'lost' && clock ? ` since ${time(dayNow(clock, link.since))}` : ''
  return (
    <>
      <p role="status" className={`${css.office} ${n > 0 || link.is !== 'connected' ? css.waits : ''}`}>
        {n > 0
          ? `${n === 1 ? 'One thing' : `${n} things`} you pressed ${n === 1 ? 'waits' : 'wait'} for the office.`
          : link.is === 'connected'
            ? 'The office has all you pressed.'
            : `No link${lost}.`}
      </p>
      {link.is !== 'connected' && (
        <p>
          {n > 0 && `No link${lost}. `}
          You see what was so at {pictureOf === null ? 'no time' : time(pictureOf)}. Press on: it is kept and
          sent when the link is back.
        </p>
      )}
      {!state.keeps && (
        <p className="wrong">
          This phone keeps nothing for us. Leave this page open until the office has it all.
        </p>
      )}
      {refused !== null && (
        <p className="wrong" role="alert">
          {refused}
        </p>
      )}
      {state.refused.map(({ tap, message }) => (
        <div key={tap.id} role="alert" className={css.refused}>
          <p>
            “{MOVES.find(m => m.command === tap.command)?.does}” was not taken: {message}.
          </p>
          <button type="button" className={css.small} onClick={() => taps.dismiss(tap.id)}>
            I have read it
          </button>
        </div>
      ))}
    </>
  )
}
