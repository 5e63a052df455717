'use client'
import { useEffect, useState } from 'react'
import { lineWords, ruleTitle, standingWords } from '../../../server/domain/calls/words.ts'
import { countyOf } from '../../../server/domain/day/county.ts'
import type { BoardRow, Figure } from '../../../server/domain/day/row.ts'
import { compareTiers } from '../../../server/domain/day/tiers.ts'
import type { PlanBrief } from '../../../server/domain/plan/brief.ts'
import type { Phones } from '../../../server/protocol/board.ts'
import type { BoardState } from '../../live/boardStore.ts'
import { clockWords, clockWordsToSecond } from '../../live/clock.ts'
import { countWords } from '../../parts/figures.ts'
import paper from '../../parts/paper.module.css'
import { lineName } from '../callCard.tsx'
import { notePrinted } from '../sheetPrinted.ts'
import css from './sheet.module.css'
import { inOrder, ORDERS, type SheetOrder } from './sheetOrder.ts'

type Props = { state: BoardState; phones: Phones['phones'] | null; problem: string | null }

/** Standing of a precinct as paper needs it: silence named, never taken for fine. */
export function standingOnPaper(row: BoardRow, time: (at: number) => string): string {
  const words = row.suspended ? 'suspended' : standingWords[row.standing]
  if (row.silentSince !== null) return `${words} when last heard; silent since ${time(row.silentSince)}`
  if (row.receivedAt !== null) return `${words} ${time(row.receivedAt)}`
  if (row.standing === 'open' && row.openedAt !== null) return `${words} since ${time(row.openedAt)}`
  return words
}

/** The whole county on paper, for when screens fail and for the change of shift. */
export function Sheet({ state, phones, problem }: Props) {
  const [printedAt] = useState(() => new Date())
  const [order, setOrder] = useState<SheetOrder>('plan')
  const pictureOf = state.pictureOf ?? 0
  useEffect(() => {
    const note = () => notePrinted(state.plan!.day, pictureOf)
    window.addEventListener('beforeprint', note)
    return () => window.removeEventListener('beforeprint', note)
  }, [state.plan, pictureOf])
  const plan = state.plan!
  const time = (at: number) => clockWords(at, plan.timeZone)
  const totals = countyOf(state.rows.values(), plan)
  // On paper the gravest comes first, whoever has it.
  const matters = [...state.calls].sort((a, b) => compareTiers(a.tier, b.tier))
  return (
    <main className={`${paper.paper} ${css.sheet}`}>
      <header className={paper.top}>
        <div>
          <h1>
            Situation sheet, {plan.county}
            {plan.kind === 'practice' && <strong className={paper.practice}>Practice day</strong>}
          </h1>
          <p>
            {plan.name}, {plan.date} · legal hours {time(plan.opensAt)}–{time(plan.closesAt)}
          </p>
        </div>
        <button type="button" className="button" onClick={() => window.print()}>
          Print
        </button>
      </header>
      <dl className={paper.facts}>
        <div>
          <dt>Picture of</dt>
          <dd>{clockWordsToSecond(state.pictureOf ?? 0, plan.timeZone)}</dd>
        </div>
        <div>
          <dt>Printed</dt>
          <dd>
            {printedAt.toLocaleString('en-US', { dateStyle: 'medium', timeStyle: 'medium' })} (this computer’s
            clock)
          </dd>
        </div>
        <div>
          <dt>Log head</dt>
          <dd>
            entry {countWords(state.head?.position ?? 0)}, <code>{state.head?.hash}</code>
          </dd>
        </div>
        <div>
          <dt>County</dt>
          <dd>
            {totals.open} open of {totals.precincts}, {totals.silent} silent, {countWords(totals.checkedIn)}{' '}
            checked in
            {totals.counted > 0 && ` (${countWords(totals.expectedThen)} expected by then)`}
          </dd>
        </div>
      </dl>

      <h2>Open matters</h2>
      {matters.length === 0 ? (
        <p>None.</p>
      ) : (
        <table>
          <thead>
            <tr>
              <th scope="col">Where</th>
              <th scope="col">What</th>
              <th scope="col">Since</th>
              <th scope="col" className={css.figure}>
                Who has it
              </th>
            </tr>
          </thead>
          <tbody>
            {matters.map(line => (
              <tr key={line.key}>
                <th scope="row" className={css.figure}>
                  {lineName(line, plan)}
                </th>
                <td>
                  <strong>{line.tier}.</strong> {lineWords(line, plan).fact}
                </td>
                <td>{time(line.since)}</td>
                <td className={css.figure}>
                  {line.call.takenBy !== null
                    ? (state.people[line.call.takenBy] ?? 'somebody')
                    : line.call.backUntil !== null
                      ? `back ${time(line.call.backUntil)}`
                      : '—'}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <div className={css.precincts}>
        <h2>Precincts, {ORDERS[order]}</h2>
        <label>
          Order
          <select value={order} onChange={e => setOrder(e.target.value as SheetOrder)}>
            {Object.entries(ORDERS).map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
      {problem !== null && <p className="wrong">The telephone numbers could not be fetched: {problem}.</p>}
      <table>
        <thead>
          <tr>
            <th scope="col">Precinct</th>
            <th scope="col">Telephone</th>
            <th scope="col">Standing</th>
            <th scope="col">Open matters</th>
            <th scope="col">Checked in</th>
            <th scope="col">Ballots left</th>
            <th scope="col">In slot</th>
            <th scope="col">Heard</th>
          </tr>
        </thead>
        <tbody>
          {inOrder(order, plan, state.rows).map(({ name, row }) => (
            <Line key={row.code} name={name} row={row} plan={plan} phones={phones?.[row.code]} />
          ))}
        </tbody>
      </table>

      <h2>Rovers</h2>
      <p>{plan.rovers.map(r => `${r.name} ${r.phone}`).join(' · ') || 'The plan names none.'}</p>
      <p className={paper.caution}>
        Operational picture from what was reported; no votes, no results. Follow your state’s law, your
        county’s procedures and counsel. Keep this sheet: a log that is shortened or rewritten later shows
        against the entry and hash above. During an outage write down what you hear with its time; it is
        written in afterwards.
      </p>
    </main>
  )
}

type LineProps = {
  name: string
  row: BoardRow
  plan: PlanBrief
  phones: Phones['phones'][string] | undefined
}

function Line({ name, row, plan, phones }: LineProps) {
  const time = (at: number) => clockWords(at, plan.timeZone)
  const figure = (f: Figure | null) => (f === null ? '—' : `${countWords(f.is)} at ${time(f.asOf)}`)
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>
        {phones === undefined || phones.length === 0
          ? '—'
          : phones.map(p => (
              <span key={p.phone + p.role} className={css.phone}>
                {p.phone} {p.role}{' '}
              </span>
            ))}
      </td>
      <td>{standingOnPaper(row, time)}</td>
      <td>{row.reasons.map(r => `${ruleTitle[r.rule]} (${time(r.since)})`).join(', ')}</td>
      <td className={css.figure}>{figure(row.checkedIn)}</td>
      <td className={css.figure}>{figure(row.ballotsLeft)}</td>
      <td className={css.figure}>{figure(row.inSlot)}</td>
      <td>{row.heardAt === null ? 'never' : time(row.heardAt)}</td>
    </tr>
  )
}
