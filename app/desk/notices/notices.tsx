'use client'
import { useState } from 'react'
import type { BoardNotice } from '../../../server/domain/day/notices.ts'
import type { NoticeAnswer } from '../../../server/protocol/notices.ts'
import { clockWords } from '../../live/clock.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'
import { countWords } from '../../parts/figures.ts'
import { useDesk } from '../deskContext.ts'
import side from '../side.module.css'
import { useAsked } from '../useAsked.ts'
import { NoticeForm } from './noticeForm.tsx'
import css from './notices.module.css'
import { noticesPath, useNotices } from './useNotices.ts'

/** What the desk told precincts today, by how many it was read, and a form for one more. */
export function Notices() {
  const notices = useBoard(s => s.notices)
  const { answer, problem, again } = useNotices()
  const [writing, setWriting] = useState(false)
  const [said, setSaid] = useState('')
  const wordsAt = new Map(answer?.notices.map(one => [one.position, one.text]))
  return (
    <section aria-labelledby="notices">
      <div className={side.top}>
        <h2 id="notices">Notices</h2>
        {!writing && (
          <button type="button" className="button quiet" onClick={() => setWriting(true)}>
            Write a notice
          </button>
        )}
      </div>
      <p role="status" className={side.none}>
        {said}
      </p>
      {writing && (
        <NoticeForm
          onDone={words => {
            setWriting(false)
            setSaid(words)
          }}
        />
      )}
      {problem && (
        <p role="alert" className="wrong">
          The words could not be fetched. {problem}{' '}
          <button type="button" className="button quiet" onClick={again}>
            Ask again
          </button>
        </p>
      )}
      {notices.length === 0 && <p className={side.none}>No notice was sent today.</p>}
      <ol className={css.notices}>
        {notices.toReversed().map(notice => (
          <NoticeLine key={notice.position} notice={notice} words={wordsAt.get(notice.position)} />
        ))}
      </ol>
    </section>
  )
}

/** `words` undefined: not fetched yet; null: erased. */
function NoticeLine({ notice, words }: { notice: BoardNotice; words: string | null | undefined }) {
  const plan = usePlan()
  const by = useBoard(s => s.people[notice.by])
  const [open, setOpen] = useState(false)
  const { of, read, acknowledge, position } = notice
  const whom = notice.toAll ? 'every precinct' : of === 1 ? '1 precinct' : `${countWords(of)} precincts`
  return (
    <li>
      <p className={css.about}>
        {clockWords(notice.at, plan.timeZone)} to {whom}
        {by && `, by ${by}`}
      </p>
      <p className={css.words}>{words === null ? 'The words were erased.' : (words ?? '…')}</p>
      {(acknowledge || read > 0) && (
        <p className={css.about}>
          read by {countWords(read)} of {countWords(of)}
          {read < of && (
            <button
              type="button"
              className="button quiet"
              aria-expanded={open}
              onClick={() => setOpen(!open)}
            >
              {open ? 'Hide who hasn’t' : 'Who hasn’t?'}
            </button>
          )}
        </p>
      )}
      {open && read < of && <Unread position={position} read={read} />}
    </li>
  )
}

function Unread({ position, read }: { position: number; read: number }) {
  const plan = usePlan()
  const { day, open } = useDesk()
  const { answer, problem, again } = useAsked<NoticeAnswer>(`${noticesPath(day)}/${position}`, read)
  if (problem)
    return (
      <p role="alert" className="wrong">
        {problem}{' '}
        <button type="button" className="button quiet" onClick={again}>
          Ask again
        </button>
      </p>
    )
  if (!answer) return <p className={css.about}>Asking…</p>
  return (
    <ul className={css.unread} aria-label="Not read yet">
      {answer.unread.map(code => (
        <li key={code}>
          <button type="button" className="button quiet" onClick={() => open(code)}>
            {plan.precincts.find(p => p.code === code)?.name ?? code}
          </button>
        </li>
      ))}
    </ul>
  )
}
