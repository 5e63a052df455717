'use client'
import { useState } from 'react'
import type { Errand, ErrandStanding } from '../../server/domain/day/state.ts'
import { expectedOf, placeOf } from '../../server/domain/dispatch/whereabouts.ts'
import { MINUTE } from '../../server/domain/time.ts'
import type { ErrandOnWire } from '../../server/protocol/errands.ts'
import { clockWords } from '../live/clock.ts'
import { useBoard, useDayNow, usePlan } from '../live/useBoard.ts'
import { errandWords, expectedWords, MOVES, type MoveCommand, movesOf } from '../parts/errandWords.ts'
import { EndForm } from './endForm.tsx'
import css from './rover.module.css'
import { SiteReasons } from './siteReasons.tsx'
import type { Tap } from './taps.ts'

type Props = {
  errand: Errand
  /** Where it stands once what was pressed is taken. */
  is: ErrandStanding
  waiting: readonly Tap[]
  details: ErrandOnWire | null
  problem: string | null
  onAgain(): void
  onTap(command: MoveCommand, errand: string, words?: string | null): boolean
}

/** One errand: where to, what for, what is wrong there, and the step that comes next under the thumb. */
export function ErrandCard({ errand, is, waiting, details, problem, onAgain, onTap }: Props) {
  const plan = usePlan()
  const now = useDayNow(MINUTE)
  const errands = useBoard(s => s.errands)
  const [ending, setEnding] = useState<'FinishErrand' | 'GiveBackErrand' | null>(null)
  const [full, setFull] = useState(false)
  const place = placeOf(errand.precinct, plan)
  const expected = expectedOf(errand, errands, plan)
  const precincts = plan.precincts.filter(p => p.place === place?.code)
  const steps = movesOf({ is })
  const press = (command: MoveCommand, words: string | null = null) => {
    setFull(!onTap(command, errand.id, words))
    setEnding(null)
  }
  return (
    <article className={css.card} aria-labelledby={`to-${errand.id}`}>
      <h2 id={`to-${errand.id}`}>{place?.name ?? errand.precinct}</h2>
      {details?.place.address && <p className={css.address}>{details.place.address}</p>}
      <p className={css.soft}>
        {precincts.length === 1 ? 'Precinct' : 'Precincts'} {precincts.map(p => p.name).join(', ')}
      </p>
      {details?.what && (
        <section aria-label="From the desk" className={css.what}>
          <h3>From the desk</h3>
          <p>{details.what}</p>
        </section>
      )}
      {details === null && (
        <p className={css.soft} role="status">
          {problem === null
            ? 'Fetching the address and what the desk wrote…'
            : `Address and words: ${problem} `}
          {problem !== null && (
            <button type="button" className={css.small} onClick={onAgain}>
              Ask again
            </button>
          )}
        </p>
      )}
      <div className={css.standing}>
        <p>
          <strong>The office has: {errandWords(errand, plan.timeZone)}.</strong>
        </p>
        {expected && <p>{sentence(expectedWords(expected, now, plan.timeZone))}</p>}
        {waiting.map(tap => (
          <p key={tap.id} className={css.waits}>
            “{MOVES.find(m => m.command === tap.command)?.does}” waits for the link
            <TapTime tap={tap} />.
          </p>
        ))}
      </div>
      {full && (
        <p className="wrong" role="alert">
          Too much waits already. Ring the desk.
        </p>
      )}
      {ending !== null ? (
        <EndForm key={ending} command={ending} onEnd={press} onCancel={() => setEnding(null)} />
      ) : (
        <div className={css.steps}>
          {steps.map(({ command, does }, i) => (
            <button
              key={command}
              type="button"
              className={`${css.press} ${i === 0 ? css.next : ''}`}
              onClick={() =>
                command === 'FinishErrand' || command === 'GiveBackErrand'
                  ? setEnding(command)
                  : press(command)
              }
            >
              {does}
            </button>
          ))}
        </div>
      )}
      {place && (
        <p>
          <a className={css.press} href={mapLink(place)}>
            Directions
          </a>
          <span className={css.soft}>
            Opens the map of your phone. {place.latitude.toFixed(5)}, {place.longitude.toFixed(5)}
          </span>
        </p>
      )}
      <SiteReasons precincts={precincts.map(p => p.code)} />
    </article>
  )
}

/** When it was pressed, in day time. */
function TapTime({ tap }: { tap: Tap }) {
  const plan = usePlan()
  const clock = useBoard(s => s.clock)
  if (clock === null) return null
  return <>, pressed {clockWords(clock.dayAt + clock.speed * (tap.at - clock.wallAt), plan.timeZone)}</>
}

/**
 * A place for the phone's own map: a geo URI (RFC 5870). The query with a label is what phones' map programs
 * add to it; one that doesn't know it still has the coordinates.
 */
export function mapLink(place: { name: string; latitude: number; longitude: number }): string {
  const at = `${place.latitude},${place.longitude}`
  return `geo:${at}?q=${encodeURIComponent(`${at}(${place.name.replace(/[()]/g, ' ')})`)}`
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
}
