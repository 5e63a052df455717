'use client'
import { type FormEvent, useState } from 'react'
import { usePlan } from '../../live/useBoard.ts'
import { useVoterGuard } from '../../parts/useVoterGuard.ts'
import card from '../callCard.module.css'
import { refusalWords } from '../deskContext.ts'
import { FormFoot } from '../formFoot.tsx'
import { useSendOnce } from '../useSendOnce.ts'
import css from './notices.module.css'

type To = 'all' | 'area' | 'chosen'

/** Words to all precincts, to those of an area, or to some of them. */
export function NoticeForm({ onDone }: { onDone(said: string): void }) {
  const plan = usePlan()
  const send = useSendOnce()
  const areas = [...new Set(plan.precincts.map(p => p.area).filter(Boolean))].sort()
  const [to, setTo] = useState<To>('all')
  const [area, setArea] = useState(areas[0] ?? '')
  const [chosen, setChosen] = useState<readonly string[]>([])
  const [search, setSearch] = useState('')
  const [text, setText] = useState('')
  const [acknowledge, setAcknowledge] = useState(true)
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const guard = useVoterGuard([text])

  const words = search.trim().toLowerCase()
  const found = plan.precincts.filter(p =>
    [p.name, p.code, p.area].some(told => told.toLowerCase().includes(words)),
  )

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    if (busy) return
    const codes =
      to === 'area'
        ? plan.precincts.filter(p => p.area === area).map(p => p.code)
        : to === 'chosen'
          ? chosen
          : null
    if (codes?.length === 0) return setProblem('Choose at least one precinct.')
    if (text.trim() === '') return setProblem('Write the notice first.')
    setProblem(null)
    if (guard.stops()) return
    setBusy(true)
    const body = { ...(codes ? { to: [...codes] } : {}), text: text.trim(), acknowledge }
    const words = refusalWords(await send('SendNotice', body))
    setBusy(false)
    if (words !== null) return setProblem(words)
    const many = codes?.length ?? plan.precincts.length
    onDone(`Sent to ${many === 1 ? '1 precinct' : `${many} precincts`}.`)
  }

  return (
    <form className={card.form} onSubmit={submit} aria-label="Write a notice">
      <fieldset>
        <legend>To whom?</legend>
        <Choice is="all" to={to} onChoose={setTo} label={`All ${plan.precincts.length} precincts`} />
        {areas.length > 0 && <Choice is="area" to={to} onChoose={setTo} label="One area" />}
        <Choice is="chosen" to={to} onChoose={setTo} label="Chosen precincts" />
      </fieldset>
      {to === 'area' && (
        <label className={card.field}>
          Area
          <select value={area} onChange={e => setArea(e.target.value)}>
            {areas.map(name => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      {to === 'chosen' && (
        <fieldset className={css.chosen}>
          <legend>Which precincts? {chosen.length} chosen</legend>
          {chosen.length > 0 && (
            <p className={css.about}>
              {plan.precincts
                .filter(p => chosen.includes(p.code))
                .map(p => p.name)
                .join(', ')}
            </p>
          )}
          <label className={card.field}>
            Find by name, code or area
            <input
              type="search"
              value={search}
              onChange={e => setSearch(e.target.value)}
              onKeyDown={e => {
                if (e.key === 'Enter') e.preventDefault()
              }}
            />
          </label>
          {words !== '' && found.length > 0 && (
            <button
              type="button"
              className="button quiet"
              onClick={() => setChosen([...new Set([...chosen, ...found.map(p => p.code)])])}
            >
              Choose all {found.length} found
            </button>
          )}
          {found.length === 0 && <p className={css.about}>No precinct is called so.</p>}
          {found.map(p => (
            <label key={p.code} className={css.tick}>
              <input
                type="checkbox"
                checked={chosen.includes(p.code)}
                onChange={e =>
                  setChosen(e.target.checked ? [...chosen, p.code] : chosen.filter(c => c !== p.code))
                }
              />
              {p.name}
            </label>
          ))}
        </fieldset>
      )}
      <label className={card.field}>
        What to tell them (no voter is named)
        <textarea
          rows={3}
          maxLength={1000}
          value={text}
          onChange={e => setText(e.target.value)}
          onKeyDown={e => {
            if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) submit()
          }}
        />
      </label>
      <label className={css.tick}>
        <input type="checkbox" checked={acknowledge} onChange={e => setAcknowledge(e.target.checked)} />
        Ask each to say that it was read
      </label>
      <FormFoot
        problem={problem}
        guard={guard}
        onSend={() => submit()}
        onCancel={() => onDone('')}
        busy={busy}
        title="Send the notice"
        busyTitle="Sending…"
      />
    </form>
  )
}

function Choice({ is, to, label, onChoose }: { is: To; to: To; label: string; onChoose(to: To): void }) {
  return (
    <label className={css.tick}>
      <input type="radio" name="notice-to" checked={to === is} onChange={() => onChoose(is)} />
      {label}
    </label>
  )
}
