'use client'
import { useId, useRef, useState } from 'react'
import type { CountsAtClose } from '../../../server/domain/reconcile/close.ts'
import type { DevicePlan } from '../../../server/protocol/device.ts'
import { ProblemLine } from '../asking/asked.tsx'
import { Frame } from '../Lists.tsx'
import type { PageState } from '../pageState.ts'
import { useWords } from '../words/WordsContext.tsx'
import { identities } from './identities.ts'
import css from './reconcile.module.css'
import { numberOf, type Row, rowsOf, sumsOf } from './sums.ts'

type Props = {
  plan: DevicePlan
  page: PageState
  typed: Readonly<Record<string, string>>
  setTyped(typed: Readonly<Record<string, string>>): void
  leave(): void
  done(counts: CountsAtClose): void
}

/** The sheet that is otherwise worked out on paper: each line typed, both identities beside it at once. */
export function Sheet({ plan, page, typed, setTyped, leave, done }: Props) {
  const words = useWords()
  const { reconcile: W } = words
  const [amiss, setAmiss] = useState(false)
  const form = useRef<HTMLFormElement>(null)
  const rows = rowsOf(plan, page, words)
  const sums = sumsOf(plan, rows, typed)
  const { ballots, voters } = identities(sums, words)
  const line = (row: Row) => (
    <Line
      key={row.id}
      row={row}
      typed={typed[row.id]}
      help={row.is === 'tabulator' && plan.precinct.sheets > 1 ? W.sheets(plan.precinct.sheets) : undefined}
      amiss={amiss && sums.empty.includes(row.id)}
      onChange={value => setTyped({ ...typed, [row.id]: value })}
    />
  )
  const given = (...which: Row['is'][]) => rows.filter(row => which.includes(row.is)).map(line)
  function goOn() {
    if (sums.counts) return done(sums.counts)
    setAmiss(true)
    const first = form.current?.elements.namedItem(sums.empty[0] ?? '')
    if (first instanceof HTMLElement) first.focus()
  }
  return (
    <Frame title={W.title} lead={W.lead} leave={leave}>
      <form
        ref={form}
        noValidate
        onSubmit={e => {
          e.preventDefault()
          goOn()
        }}
      >
        <fieldset className={css.part}>
          <legend>{W.ballots}</legend>
          {given('delivered', 'left')}
          <Sum label={W.used} is={sums.used} />
          {given('tabulator', 'box', 'inSlot')}
          <Sum label={W.voted} is={sums.voted} />
          {given('spoiled', 'provisional', 'challenged')}
          <Sum label={W.found} is={sums.found} />
        </fieldset>
        <fieldset className={css.part}>
          <legend>{W.voters}</legend>
          {given('checkedIn')}
        </fieldset>
        {sums.oddSheets !== null && (
          <p className="pp-error">{W.oddSheets(sums.oddSheets, plan.precinct.sheets)}</p>
        )}
        <div role="status" className={css.result}>
          <p className={differs(sums.differences.ballots)}>{ballots}</p>
          <p className={differs(sums.differences.voters)}>{voters}</p>
          {sums.counts === null && <p className="pp-soft">{W.open}</p>}
          {sums.holds && (sums.differences.ballots !== 0 || sums.differences.voters !== 0) && (
            <p className="pp-soft">{W.tolerated(plan.countTolerance)}</p>
          )}
        </div>
        <button type="submit" className="pp-go">
          {W.go}
        </button>
      </form>
    </Frame>
  )
}

const differs = (by: number | null) => (by === null || by === 0 ? css.agrees : css.differs)

type LineProps = {
  row: Row
  typed: string | undefined
  help: string | undefined
  amiss: boolean
  onChange(value: string): void
}

function Line({ row, typed, help, amiss, onChange }: LineProps) {
  const { reconcile: W } = useWords()
  const id = useId()
  const value = typed ?? row.known?.toString() ?? ''
  const known = typed === undefined && row.known !== null
  const wrong = amiss || (value !== '' && numberOf(value) === null)
  return (
    <div className={css.line}>
      <label htmlFor={id}>{row.label}</label>
      <input
        id={id}
        name={row.id}
        className={css.field}
        inputMode="numeric"
        autoComplete="off"
        maxLength={7}
        value={value}
        aria-describedby={`${id}help ${id}error`}
        aria-invalid={wrong}
        onChange={e => onChange(e.target.value.replace(/\s/g, ''))}
      />
      <p className={css.help} id={`${id}help`}>
        {[help, known && W.known].filter(Boolean).join(' ')}
      </p>
      <ProblemLine id={`${id}error`}>{wrong ? W.fill : null}</ProblemLine>
    </div>
  )
}

function Sum({ label, is }: { label: string; is: number | null }) {
  return (
    <p className={css.sum}>
      <span>{label}</span> <span className={css.figure}>{is ?? '–'}</span>
    </p>
  )
}
