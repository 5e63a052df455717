'use client'
import { useState } from 'react'
import type { Errand } from '../../../server/domain/day/state.ts'
import { type MoveCommand, movesOf } from '../../parts/errandWords.ts'
import { useVoterGuard } from '../../parts/useVoterGuard.ts'
import { VoterWarning } from '../../parts/voterWarning.tsx'
import { refusalWords } from '../deskContext.ts'
import { useSendOnce } from '../useSendOnce.ts'
import css from './errands.module.css'
import { useRoverName } from './useErrands.ts'

/** What a rover says on the telephone, written in for them; giving back frees the place for another rover. */
export function ErrandMoves({ errand }: { errand: Errand }) {
  const send = useSendOnce()
  const name = useRoverName()(errand.rover)
  const [words, setWords] = useState('')
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const [waiting, setWaiting] = useState<MoveCommand | null>(null)
  const guard = useVoterGuard([words])
  const moves = movesOf(errand)
  const withNote = moves.some(m => m.command === 'FinishErrand')

  async function move(command: MoveCommand) {
    if (busy) return
    setWaiting(command)
    const text = command === 'FinishErrand' || command === 'GiveBackErrand' ? words.trim() : ''
    if (text !== '' && guard.stops()) return
    setBusy(true)
    const more = text === '' ? {} : command === 'FinishErrand' ? { note: text } : { why: text }
    const refused = refusalWords(await send(command, { errand: errand.id, ...more }))
    setBusy(false)
    setProblem(refused)
    if (refused === null) setWords('')
  }

  return (
    <details className={css.moves}>
      <summary>{name} rings: write it in</summary>
      <label className={css.field}>
        {withNote ? 'Note, or why it is given back' : 'Why, if it is given back'} (no voter is named)
        <input maxLength={1000} value={words} onChange={e => setWords(e.target.value)} />
      </label>
      <VoterWarning
        asks={guard.asks}
        onAnyway={() => {
          guard.allow()
          if (waiting) void move(waiting)
        }}
      />
      <div className={css.buttons}>
        {moves.map(({ command, done }) => (
          <button
            key={command}
            type="button"
            className="button quiet"
            disabled={busy}
            onClick={() => move(command)}
          >
            {done}
          </button>
        ))}
      </div>
      <div role="status">{problem && <p className="wrong">{problem}</p>}</div>
    </details>
  )
}
