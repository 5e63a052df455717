'use client'
import { useState } from 'react'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { type AsideAnswer, asideAnswer } from '../../../server/protocol/aside.ts'
import { clockWords } from '../../live/clock.ts'
import { usePlan } from '../../live/useBoard.ts'
import { entryWords, type Names, shownWords } from '../../parts/entryWords.ts'
import { useAsked } from '../../setup/asking.ts'
import { refusalWords, useDesk } from '../deskContext.ts'
import css from '../drawer.module.css'
import { useEntryNames } from '../useEntryNames.ts'
import { useSendOnce } from '../useSendOnce.ts'

type Report = AsideAnswer['reports'][number]

/** How often it is asked anew: the board says that something is kept aside, not what. Milliseconds of wall time. */
const EVERY_MS = 15_000

/** Reports of this precinct that are no part of the day until somebody here accepts them. Shows nothing where there are none. */
export function KeptAside({ code }: { code: string }) {
  const { day } = useDesk()
  const path = `/days/${encodeURIComponent(day)}/precincts/${encodeURIComponent(code)}/aside`
  const asked = useAsked(path, asideAnswer, EVERY_MS)
  const send = useSendOnce()
  const names = useEntryNames()
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set())
  const [said, setSaid] = useState('')
  const [busy, setBusy] = useState(false)
  const { open, reports } = asked.value ?? { open: 0, reports: [] }
  const picked = reports.filter(r => chosen.has(keyOf(r)))

  async function answer(kind: 'AcceptAside' | 'LeaveAside') {
    if (picked.length === 0) return setSaid('Choose reports first.')
    setBusy(true)
    const named = picked.map(({ device, number, content }) => ({ device, number, content }))
    const words = refusalWords(await send(kind, { precinct: code, reports: named }))
    const done = kind === 'AcceptAside' ? 'Accepted' : 'Left out'
    setSaid(words ?? `${done}: ${reportsWords(picked.length)}.`)
    if (words === null) setChosen(new Set())
    await asked.again()
    setBusy(false)
  }
  function choose(report: Report, is: boolean) {
    const next = new Set(chosen)
    if (is) next.add(keyOf(report))
    else next.delete(keyOf(report))
    setChosen(next)
  }

  if (open === 0 && said === '') return null
  const fit = reports.filter(r => r.problems.length === 0)
  return (
    <section aria-labelledby="kept-aside">
      <h3 id="kept-aside">{open === 0 ? 'Kept aside' : headingOf(open, reports)}</h3>
      {open > 0 && (
        <p className={css.soft}>
          Not on the board yet. What you accept counts from the time it happened; newer reports stand.
        </p>
      )}
      {open > reports.length && <p className={css.soft}>The first {reports.length} are shown.</p>}
      <ul className={css.aside}>
        {reports.map(report => (
          <Line
            key={keyOf(report)}
            report={report}
            names={names}
            chosen={chosen.has(keyOf(report))}
            onChoose={is => choose(report, is)}
          />
        ))}
      </ul>
      {open > 0 && (
        <div className={css.buttons}>
          {fit.length > 0 && (
            <button type="button" className="button quiet" onClick={() => setChosen(new Set(fit.map(keyOf)))}>
              Choose all that fit
            </button>
          )}
          <button type="button" className="button" disabled={busy} onClick={() => void answer('AcceptAside')}>
            Accept the chosen
          </button>
          <button
            type="button"
            className="button quiet"
            disabled={busy}
            onClick={() => void answer('LeaveAside')}
          >
            Leave the chosen out
          </button>
        </div>
      )}
      <p role="status" className={css.soft}>
        {said}
      </p>
    </section>
  )
}

function Line(props: { report: Report; names: Names; chosen: boolean; onChoose(is: boolean): void }) {
  const { report, names } = props
  const { timeZone } = usePlan()
  const happened = report.occurredAt && clockWords(fromRfc3339(report.occurredAt), timeZone)
  const words = shownWords(report)
  const fits = report.problems.length === 0
  return (
    <li>
      <label className={css.choice}>
        <input
          type="checkbox"
          checked={props.chosen}
          onChange={event => props.onChoose(event.target.checked)}
        />{' '}
        {happened && <time dateTime={report.occurredAt!}>{happened}</time>}{' '}
        {fits
          ? entryWords({ kind: report.kind ?? '', body: report.body }, names)
          : (report.kind ?? 'A report')}
      </label>
      {words && <p className={css.words}>“{words}”</p>}
      <p className={css.soft}>
        {report.why === 'replaced'
          ? `of ${report.label || 'the tablet'}, which was replaced`
          : `of ${report.label || 'a tablet'}: its number ${report.number} came before with other content`}
        {' · '}received {names.time(report.receivedAt)}
      </p>
      {!fits && (
        <p className="wrong">
          It can’t be accepted: {report.problems.map(p => p.message).join('; ')}. Leave it out, or write it
          in.
        </p>
      )}
    </li>
  )
}

function headingOf(open: number, reports: readonly Report[]): string {
  const replaced = reports.every(r => r.why === 'replaced')
  return `Kept aside: ${reportsWords(open)}${replaced ? ' of the tablet that was replaced' : ''}`
}

const reportsWords = (count: number) =>
  count === 1 ? '1 report' : `${count.toLocaleString('en-US')} reports`
const keyOf = ({ device, number, content }: Report) => `${device} ${number} ${content}`
