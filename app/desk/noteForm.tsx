'use client'
import { type FormEvent, useState } from 'react'
import { useVoterGuard } from '../parts/useVoterGuard.ts'
import { VoterWarning } from '../parts/voterWarning.tsx'
import { refusalWords } from './deskContext.ts'
import css from './drawer.module.css'
import { useSendOnce } from './useSendOnce.ts'

export function NoteForm({ code }: { code: string }) {
  const send = useSendOnce()
  const [note, setNote] = useState('')
  const [busy, setBusy] = useState(false)
  const [said, setSaid] = useState<{ words: string; wrong: boolean } | null>(null)
  const guard = useVoterGuard([note])

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    if (busy) return
    if (note.trim() === '') {
      setSaid({ words: 'Write the note first.', wrong: true })
      return
    }
    setSaid(null)
    if (guard.stops()) return
    setBusy(true)
    const words = refusalWords(await send('AddNote', { precinct: code, note: note.trim() }))
    setBusy(false)
    setSaid(words === null ? { words: 'Noted.', wrong: false } : { words, wrong: true })
    if (words === null) setNote('')
  }

  return (
    <form onSubmit={submit} className={css.note}>
      <label>
        <span>Note (no voter is named)</span>
        <textarea
          rows={2}
          maxLength={1000}
          value={note}
          onChange={e => setNote(e.target.value)}
          onKeyDown={e => {
            if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) submit()
          }}
        />
      </label>
      <VoterWarning
        asks={guard.asks}
        onAnyway={() => {
          guard.allow()
          submit()
        }}
      />
      <div className={css.buttons}>
        <p role="status" className={said?.wrong ? 'wrong' : css.soft}>
          {said?.words}
        </p>
        <button type="submit" className="button quiet" disabled={busy}>
          {busy ? 'Adding…' : 'Add the note'}
        </button>
      </div>
    </form>
  )
}
