'use client'
import { useState } from 'react'
import { lineWords, ruleTitle } from '../../../server/domain/calls/words.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { clockWords, clockWordsToSecond, lengthWords } from '../../live/clock.ts'
import { useBoard, useDayNow, useLink, usePlan, useWallSecond } from '../../live/useBoard.ts'
import { errandWords } from '../../parts/errandWords.ts'
import { countWords } from '../../parts/figures.ts'
import paper from '../../parts/paper.module.css'
import { outcomeWords } from '../../parts/vocabulary.ts'
import { refusalWords } from '../deskContext.ts'
import { linkWords } from '../foot.tsx'
import { GiveBack } from './giveBack.tsx'
import { Notes } from './notes.tsx'
import css from './shift.module.css'
import { heldBy, type Matter, shiftFacts } from './shiftFacts.ts'

type Props = { day: string; me: { id: string; name: string } }

/** The hand-over sheet: what the next shift must know of who holds what, printed with the log's head on it. */
export function Shift({ day, me }: Props) {
  const plan = usePlan()
  const state = useBoard(s => s)
  const { send } = useLink()
  const now = useDayNow(MINUTE)
  const [said, setSaid] = useState('')
  const time = (at: number) => clockWords(at, plan.timeZone)
  const facts = shiftFacts(state, plan, now)
  const mine = heldBy(me.id, state.rows.values())
  const nameOf = (id: string | null) => (id === null ? 'nobody' : (state.people[id] ?? 'somebody'))
  const where = (precincts: readonly string[]) =>
    precincts.length > 1
      ? `${precincts.length} precincts`
      : (plan.precincts.find(p => p.code === precincts[0])?.name ?? precincts[0] ?? plan.county)
  const what = (m: Pick<Matter, 'precincts' | 'reasons'>) =>
    m.reasons.length === 0 ? 'No reason stands any more.' : lineWords(m, plan).fact

  async function giveBack() {
    const codes = heldBy(me.id, state.rows.values())
    const answer = await send('HandOverCall', { precincts: codes })
    setSaid(
      refusalWords(answer) ??
        `Given back: ${codes.length === 1 ? '1 precinct' : `${codes.length} precincts`}. Anybody at the desk can take them now.`,
    )
  }

  return (
    <main className={`${paper.paper} ${css.sheet}`}>
      <header className={paper.top}>
        <div>
          <h1>
            Change of shift, {plan.county}
            {plan.kind === 'practice' && <strong className={paper.practice}>Practice day</strong>}
          </h1>
          <p>
            {plan.name}, {plan.date}
          </p>
        </div>
        <p className={css.buttons}>
          <a href={`/desk?day=${encodeURIComponent(day)}`}>The desk</a>
          <button type="button" className="button" onClick={() => window.print()}>
            Print
          </button>
        </p>
      </header>
      <dl className={paper.facts}>
        <div>
          <dt>Picture of</dt>
          <dd>
            {clockWordsToSecond(state.pictureOf ?? 0, plan.timeZone)} <Link />
          </dd>
        </div>
        <div>
          <dt>Log head</dt>
          <dd>
            entry {countWords(state.head?.position ?? 0)}, <code>{state.head?.hash}</code>
          </dd>
        </div>
        <div>
          <dt>Hands over</dt>
          <dd>{me.name}</dd>
        </div>
      </dl>

      <GiveBack held={mine.length} said={said} onGiveBack={giveBack} />

      <h2>Stop and now, held by nobody</h2>
      {facts.free.length === 0 ? (
        <p>None.</p>
      ) : (
        <table>
          <Head columns={['Where', 'What', 'Since']} />
          <tbody>
            {facts.free.map(line => (
              <tr key={line.key}>
                <th scope="row">{where(line.precincts)}</th>
                <td>
                  <strong>{line.tier}.</strong> {what(line)}
                </td>
                <td>{time(line.since)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <h2>Who holds what</h2>
      {facts.held.length === 0 ? (
        <p>Nobody holds a call.</p>
      ) : (
        <table>
          <Head columns={['Who', 'Where', 'What', 'Held since']} />
          <tbody>
            {facts.held.map(m => (
              <tr key={m.key}>
                <th scope="row">{nameOf(m.call.takenBy)}</th>
                <td>{where(m.precincts)}</td>
                <td>{what(m)}</td>
                <td>{m.call.takenAt === null ? '—' : time(m.call.takenAt)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <h2>Being watched or put off</h2>
      {facts.aside.length === 0 ? (
        <p>Nothing.</p>
      ) : (
        <table>
          <Head columns={['Where', 'What', 'How', 'Until']} />
          <tbody>
            {facts.aside.map(m => (
              <tr key={m.key}>
                <th scope="row">{where(m.precincts)}</th>
                <td>{m.reasons.map(r => ruleTitle[r.rule]).join(', ') || 'No reason stands any more.'}</td>
                <td>
                  {m.call.lastOutcome === 'deferred' ? 'put off' : outcomeWords(m.call.lastOutcome ?? '')}
                </td>
                <td>{time(m.call.backUntil!)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <h2>Rovers on errands</h2>
      {facts.errands.length === 0 ? (
        <p>None.</p>
      ) : (
        <table>
          <Head columns={['Rover', 'Where to', 'Stands', 'Sent']} />
          <tbody>
            {facts.errands.map(errand => (
              <tr key={errand.id}>
                <th scope="row">{plan.rovers.find(r => r.code === errand.rover)?.name ?? errand.rover}</th>
                <td>{where([errand.precinct])}</td>
                <td>{errandWords(errand, plan.timeZone)}</td>
                <td>
                  {time(errand.assignedAt)} by {nameOf(errand.by)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <h2>Returns</h2>
      <p>
        {facts.received} of {plan.precincts.length} received, {facts.out.length} on the way, {facts.notLeft}{' '}
        not said to have left; all due by {time(plan.returnBy)}.
      </p>
      {facts.out.length > 0 && (
        <table>
          <Head columns={['Return of', 'Left', 'Out for', '']} />
          <tbody>
            {facts.out.map(row => (
              <tr key={row.code}>
                <th scope="row">{where([row.code])}</th>
                <td>{time(row.departedAt!)}</td>
                <td>{lengthWords(Math.max(0, now - row.departedAt!))}</td>
                <td>{row.reasons.some(r => r.rule === 'return-overdue') && <strong>overdue</strong>}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}

      <Notes day={day} where={code => (code === null ? plan.county : where([code]))} nameOf={nameOf} />

      <section className={paper.signatures} aria-label="Signatures">
        {['Handed over by', 'Taken over by'].map(who => (
          <p key={who}>
            <span aria-hidden="true" />
            {who}, signature and time
          </p>
        ))}
      </section>
      <p className={paper.caution}>
        Operational picture from what was reported; no votes, no results. Follow your state’s law, your
        county’s procedures and counsel. Keep this sheet: a log that is shortened or rewritten later shows
        against the entry and hash above.
      </p>
    </main>
  )
}

function Head({ columns }: { columns: readonly string[] }) {
  return (
    <thead>
      <tr>
        {columns.map(column =>
          column === '' ? (
            <td key="none" />
          ) : (
            <th key={column} scope="col">
              {column}
            </th>
          ),
        )}
      </tr>
    </thead>
  )
}

/** Said only where the picture isn't live. */
function Link() {
  const plan = usePlan()
  const state = useBoard(s => s)
  const wall = useWallSecond()
  const { words, lost } = linkWords(state, wall, plan.timeZone)
  return lost ? <strong className="wrong">{words}</strong> : null
}
