'use client'
import { useState } from 'react'
import { fromRfc3339 } from '../../server/domain/time.ts'
import type { CustodyAnswer, CustodyChain } from '../../server/protocol/custody.ts'
import { clockWords } from '../live/clock.ts'
import { usePlan } from '../live/useBoard.ts'
import { chainGaps, containerWords, gapWords, linkWords, plannedWords } from './custodyWords.ts'
import { useDesk } from './deskContext.ts'
import css from './drawer.module.css'
import { useAsked } from './useAsked.ts'

/** Every seal of the precinct's containers, one after another; asked for when somebody wants to see it. */
export function Custody({ code, touchedAt }: { code: string; touchedAt: number }) {
  const { day } = useDesk()
  const [shown, setShown] = useState(false)
  const path = `/api/v1/days/${encodeURIComponent(day)}/precincts/${encodeURIComponent(code)}/custody`
  const { answer, problem, again } = useAsked<CustodyAnswer>(shown ? path : null, touchedAt)
  return (
    <section aria-labelledby="custody">
      <h3 id="custody">Custody</h3>
      <button type="button" className="button quiet" aria-expanded={shown} onClick={() => setShown(!shown)}>
        {shown ? 'Hide the seals' : 'Show the seals'}
      </button>
      {shown && problem && (
        <p role="alert" className="wrong">
          {problem}{' '}
          <button type="button" className="button quiet" onClick={again}>
            Ask again
          </button>
        </p>
      )}
      {shown && !answer && !problem && <p className={css.soft}>Asking for the seals…</p>}
      {shown && answer?.containers.length === 0 && (
        <p className={css.soft}>The plan names no sealed container here, and none was recorded.</p>
      )}
      {shown && answer && (
        <ul className={css.chains}>
          {answer.containers.map(chain => (
            <ChainRow key={chain.container} chain={chain} opened={answer.opened} />
          ))}
        </ul>
      )}
    </section>
  )
}

function ChainRow({ chain, opened }: { chain: CustodyChain; opened: boolean }) {
  const { timeZone } = usePlan()
  const gaps = chainGaps(chain, opened)
  return (
    <li>
      <p>
        <strong>{containerWords(chain.container)}</strong>{' '}
        <span className={css.soft}>{plannedWords(chain)}</span>
      </p>
      {gaps.map(gap => (
        <GapMark key={gap} words={gapWords(gap)} />
      ))}
      {chain.links.length === 0 && gaps.length === 0 && <p className={css.soft}>Nothing recorded yet.</p>}
      <ol>
        {chain.links.map((link, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: links of one instant may be alike, and the list is replaced whole
          <li key={i}>
            <time dateTime={link.at}>{clockWords(fromRfc3339(link.at), timeZone)}</time> {linkWords(link)}
            {link.gaps.map(gap => (
              <GapMark key={gap} words={gapWords(gap)} />
            ))}
          </li>
        ))}
      </ol>
    </li>
  )
}

function GapMark({ words }: { words: string }) {
  return (
    <p className={css.gap}>
      <svg viewBox="0 0 12 12" width="12" height="12" aria-hidden="true">
        <path d="M2 10V5a4 4 0 0 1 8 0M6 7v2" fill="none" stroke="currentColor" strokeWidth="1.6" />
      </svg>
      {words}
    </p>
  )
}
