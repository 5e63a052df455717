'use client'
import { type FormEvent, useState } from 'react'
import { openErrandsOf, placeOf } from '../../../server/domain/dispatch/whereabouts.ts'
import { useBoard, usePlan } from '../../live/useBoard.ts'
import { ESTIMATE } from '../../parts/errandWords.ts'
import { useVoterGuard } from '../../parts/useVoterGuard.ts'
import card from '../callCard.module.css'
import { useDesk } from '../deskContext.ts'
import { FormFoot } from '../formFoot.tsx'
import { intoSight } from '../intoSight.ts'
import { useSendOnce } from '../useSendOnce.ts'
import css from './errands.module.css'
import { RoverChoice, useRoversBy } from './roverChoice.tsx'
import { useErrandsTo, useRoverName } from './useErrands.ts'

/** Sends one of the plan's rovers to the place of a precinct, with what to do and bring. */
export function SendRoverForm({ precincts, onSent }: { precincts: readonly string[]; onSent?(): void }) {
  const plan = usePlan()
  const { setForm } = useDesk()
  const send = useSendOnce()
  const nameOf = useRoverName()
  const [precinct, setPrecinct] = useState(precincts[0]!)
  const [rover, setRover] = useState('')
  const [what, setWhat] = useState('')
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const guard = useVoterGuard([what])
  const errands = useBoard(s => s.errands)
  const rovers = useRoversBy(precinct)
  const place = placeOf(precinct, plan)
  const [there] = useErrandsTo([precinct]).open

  async function submit(event?: FormEvent) {
    event?.preventDefault()
    if (busy) return
    if (there) return setProblem(`${nameOf(there.rover)} is on an errand to this place already.`)
    if (rover === '') return setProblem('Choose who goes.')
    setProblem(null)
    if (guard.stops()) return
    setBusy(true)
    const words = what.trim()
    const answer = await send('SendRover', { rover, precinct, ...(words === '' ? {} : { what: words }) })
    setBusy(false)
    if (!answer.ok) return setProblem(answer.refusal.message)
    setForm(null)
    onSent?.()
  }

  const away = rover === '' ? 0 : openErrandsOf(rover, errands).length
  return (
    <form ref={intoSight} className={card.form} onSubmit={submit} aria-label="Send a rover">
      {precincts.length > 1 && (
        <label className={card.field}>
          To which of them
          <select value={precinct} onChange={e => setPrecinct(e.target.value)}>
            {precincts.map(code => (
              <option key={code} value={code}>
                {plan.precincts.find(p => p.code === code)?.name ?? code}
              </option>
            ))}
          </select>
        </label>
      )}
      <fieldset>
        <legend>Who goes to {place?.name ?? 'the place'}?</legend>
        {rovers.length === 0 && <p className={card.hint}>The plan names no rovers.</p>}
        <div className={css.choices}>
          {rovers.map((choice, i) => (
            <RoverChoice
              key={choice.rover.code}
              choice={choice}
              chosen={rover === choice.rover.code}
              first={i === 0}
              onChoose={() => setRover(choice.rover.code)}
            />
          ))}
        </div>
        <p className={card.hint}>
          Nearest of the free ones first. Distances and minutes are a {ESTIMATE}: no roads, no water, no
          ferries.
        </p>
      </fieldset>
      {away > 0 && (
        <p className={card.hint}>
          {nameOf(rover)} has {away === 1 ? 'an errand' : `${away} errands`} already; this one comes after.
        </p>
      )}
      <label className={card.field}>
        What to do and bring (no voter is named)
        <textarea
          rows={2}
          maxLength={1000}
          value={what}
          onChange={e => setWhat(e.target.value)}
          onKeyDown={e => {
            if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) submit()
          }}
        />
      </label>
      <FormFoot
        problem={problem}
        guard={guard}
        onSend={() => submit()}
        onCancel={() => setForm(null)}
        busy={busy}
        title="Send"
        busyTitle="Sending…"
      />
    </form>
  )
}
