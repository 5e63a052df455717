'use client'
import { useState } from 'react'
import { encode } from 'uqr'
import type { z } from 'zod'
import { freshCodes, setupPlan } from '../../../../server/protocol/setup.ts'
import { useAsked } from '../../asking.ts'
import { Problems } from '../../problems.tsx'
import css from '../../setup.module.css'
import { useDoing } from '../../useDoing.ts'
import sheet from './codes.module.css'

type Code = z.output<typeof freshCodes>['codes'][number]

/** A sheet of enrolment codes to print and cut: one card for each precinct, with its code as letters and as a picture. */
export function CodesSheet({ day }: { day: string }) {
  const plan = useAsked(`days/${encodeURIComponent(day)}/plan`, setupPlan)
  const { busy, problems, run } = useDoing()
  const [codes, setCodes] = useState<Code[] | null>(null)
  const [which, setWhich] = useState<'all' | 'without'>('without')
  const without = plan.value?.precincts.filter(p => p.devices === 0) ?? []
  async function make() {
    const precincts = which === 'all' ? undefined : without.map(p => p.code)
    const answer = await run(
      `days/${encodeURIComponent(day)}/codes`,
      freshCodes,
      precincts ? { precincts } : {},
    )
    if (answer.ok) setCodes(answer.value.codes)
  }
  return (
    <main className={sheet.page}>
      <div className={sheet.controls}>
        <p>
          <a href={`/setup/${encodeURIComponent(day)}`}>Back to the day</a>
        </p>
        <h1>Enrolment codes</h1>
        <p>
          Each code makes one device speak for one precinct, once, until the day is closed. Codes are shown
          now and never again: print the sheet before you leave this page. Fresh ones leave the others good.
          Hand each card to the precinct lead with the tablet; whoever has it can speak for the precinct.
        </p>
        <Problems problems={[...plan.problems, ...problems]} />
        {codes === null && plan.value && (
          <form
            className={css.row}
            onSubmit={event => {
              event.preventDefault()
              void make()
            }}
          >
            <label>
              <input
                type="radio"
                name="which"
                checked={which === 'without'}
                onChange={() => setWhich('without')}
              />{' '}
              the {without.length.toLocaleString('en-US')} precincts without a device
            </label>
            <label>
              <input type="radio" name="which" checked={which === 'all'} onChange={() => setWhich('all')} />{' '}
              all {plan.value.precincts.length.toLocaleString('en-US')}
            </label>
            <button
              type="submit"
              className="button"
              disabled={busy || (which === 'without' && without.length === 0)}
            >
              Make the codes
            </button>
          </form>
        )}
        {codes !== null && (
          <p>
            <button type="button" className="button" onClick={() => window.print()}>
              Print {codes.length === 1 ? 'the card' : `${codes.length.toLocaleString('en-US')} cards`}
            </button>
          </p>
        )}
      </div>
      {codes !== null && (
        <ul className={sheet.cards}>
          {codes.map(code => (
            <Card key={code.precinct} code={code} day={day} />
          ))}
        </ul>
      )}
    </main>
  )
}

function Card({ code, day }: { code: Code; day: string }) {
  const address = `${window.location.origin}/precinct?code=${encodeURIComponent(code.code)}`
  return (
    <li className={sheet.card}>
      <Picture text={address} name={code.name} />
      <div>
        <p className={sheet.name}>{code.name}</p>
        <p>{code.place}</p>
        <p className={sheet.code}>{code.code}</p>
        <p className={sheet.small}>
          Point the tablet’s camera at the picture, or open {window.location.host}/precinct and type the code.
          Good once. {day}
        </p>
      </div>
    </li>
  )
}

/** The address as a QR code (ISO/IEC 18004), drawn as one path. A quiet zone of four modules is the standard’s. */
function Picture({ text, name }: { text: string; name: string }) {
  const { data, size } = encode(text, { ecc: 'M', border: 4 })
  const path = data.flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : ''))).join('')
  return (
    <svg
      viewBox={`0 0 ${size} ${size}`}
      className={sheet.picture}
      role="img"
      aria-label={`QR code of ${name}`}
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" shapeRendering="crispEdges" />
    </svg>
  )
}
