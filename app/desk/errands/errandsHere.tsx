'use client'
import { useState } from 'react'
import { usePlan } from '../../live/useBoard.ts'
import { errandWords } from '../../parts/errandWords.ts'
import { useDesk } from '../deskContext.ts'
import drawer from '../drawer.module.css'
import { ErrandBox } from './errandBox.tsx'
import css from './errands.module.css'
import { SendRoverForm } from './sendRover.tsx'
import { useErrandsTo, useRoverName } from './useErrands.ts'

const ENDED_SHOWN = 5

/** The key of the form in a precinct's drawer, beside the keys of the call list's lines. */
export const drawerKey = (code: string) => `drawer ${code}`

/** In a precinct's drawer: who is on the way here, who was here, and sending somebody. */
export function ErrandsHere({ code }: { code: string }) {
  const plan = usePlan()
  const { mayAct, form, setForm } = useDesk()
  const nameOf = useRoverName()
  const { open, ended } = useErrandsTo([code])
  const [said, setSaid] = useState('')
  const isOpen = form?.key === drawerKey(code) && form.form === 'rover'
  const others = plan.precincts.filter(
    p => p.code !== code && p.place === plan.precincts.find(own => own.code === code)?.place,
  )
  return (
    <section aria-labelledby="its-rover">
      <h3 id="its-rover">Rover</h3>
      {open.map(errand => (
        <div key={errand.id}>
          <strong>{nameOf(errand.rover)}</strong>
          <ErrandBox errand={errand} withPlace={false} />
        </div>
      ))}
      {open.length === 0 && ended.length === 0 && <p className={drawer.soft}>Nobody was sent here.</p>}
      {ended.length > 0 && (
        <ul className={css.ended}>
          {ended.slice(0, ENDED_SHOWN).map(errand => (
            <li key={errand.id}>
              {nameOf(errand.rover)}: {errandWords(errand, plan.timeZone)}
            </li>
          ))}
        </ul>
      )}
      {others.length > 0 && (
        <p className={drawer.soft}>One visit serves {others.map(p => p.name).join(', ')} as well.</p>
      )}
      <p role="status" className={drawer.soft}>
        {said}
      </p>
      {mayAct && open.length === 0 && !isOpen && (
        <button
          type="button"
          className="button quiet"
          onClick={() => {
            setSaid('')
            setForm({ key: drawerKey(code), form: 'rover' })
          }}
        >
          Send a rover
        </button>
      )}
      {mayAct && isOpen && <SendRoverForm precincts={[code]} onSent={() => setSaid('Sent.')} />}
    </section>
  )
}
