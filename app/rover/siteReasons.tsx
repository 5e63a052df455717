'use client'
import { reasonWords } from '../../server/domain/calls/words.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { useBoard, useDayNow, usePlan } from '../live/useBoard.ts'
import css from './rover.module.css'

/** What is wrong at a place just now, of all its precincts, in the words of the board. */
export function SiteReasons({ precincts }: { precincts: readonly string[] }) {
  const plan = usePlan()
  const rows = useBoard(s => s.rows)
  const now = useDayNow(MINUTE)
  const nameOf = (code: string) => plan.precincts.find(p => p.code === code)?.name ?? code
  const found = precincts.flatMap(code =>
    (rows.get(code)?.reasons ?? []).map(reason => ({ code, reason, words: reasonWords(reason, plan, now) })),
  )
  return (
    <section aria-label="What is wrong there">
      <h3>What is wrong there</h3>
      {found.length === 0 ? (
        <p className={css.soft}>Nothing stands on the board for it just now.</p>
      ) : (
        <ul className={css.reasons}>
          {found.map(({ code, reason, words }) => (
            <li key={reason.key}>
              <strong className={`tier-${reason.tier}`}>
                {words.headline} <span className={css.tier}>{reason.tier}</span>
              </strong>
              {precincts.length > 1 && ` ${nameOf(code)}`}
              <br />
              {words.fact}
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}
