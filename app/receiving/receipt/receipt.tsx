'use client'
import type { PlanBrief } from '../../../server/domain/plan/brief.ts'
import { dateOf } from '../../../server/domain/plan/zone.ts'
import type { EntryOnWire } from '../../../server/protocol/board.ts'
import type { ReturnOnWire } from '../../../server/protocol/returns.ts'
import { clockWordsToSecond } from '../../live/clock.ts'
import { countWords } from '../../parts/figures.ts'
import paper from '../../parts/paper.module.css'
import { counted, differenceWords, differs, itemName, people } from '../returnWords.ts'
import css from './receipt.module.css'

type Props = { plan: PlanBrief; one: ReturnOnWire; entry: EntryOnWire }

/** What a return was received with, on paper, to be signed by who brought it and who took it. */
export function Receipt({ plan, one, entry }: Props) {
  const received = one.received!
  const at = Date.parse(received.at)
  return (
    <main className={`${paper.paper} ${css.receipt}`}>
      <header className={paper.top}>
        <div>
          <p className={css.county}>
            {plan.county}
            {plan.kind === 'practice' && <strong className={paper.practice}>Practice day</strong>}
          </p>
          <h1>Receipt {received.receipt}</h1>
          <p>
            Return of {one.name} ({one.precinct}), {one.place.name}
          </p>
        </div>
        <button type="button" className="button" onClick={() => window.print()}>
          Print
        </button>
      </header>

      <dl className={paper.facts}>
        <div>
          <dt>Day</dt>
          <dd>
            {plan.name}, {plan.date}
          </dd>
        </div>
        <div>
          <dt>Checked in</dt>
          <dd>
            {dateOf(at, plan.timeZone)} {clockWordsToSecond(at, plan.timeZone)}
            {received.station && `, at ${received.station.name}`}
            {received.by && `, by ${received.by}`}
          </dd>
        </div>
        <div>
          <dt>Left the place</dt>
          <dd>
            {one.departedAt === null
              ? 'not said'
              : clockWordsToSecond(Date.parse(one.departedAt), plan.timeZone)}
            {one.sent.carriers !== null && ` with ${people(one.sent.carriers)}`}
          </dd>
        </div>
        <div>
          <dt>Brought by</dt>
          <dd>{received.carriers === null ? 'not said' : people(received.carriers)}</dd>
        </div>
        <div>
          <dt>Log</dt>
          <dd>
            entry {countWords(entry.position)}, <code>{entry.hash}</code>
          </dd>
        </div>
      </dl>

      <div className={css.lists}>
        <section aria-labelledby="items">
          <h2 id="items">Items, {received.items.length}</h2>
          <ul>
            {received.items.map(item => (
              <li key={item}>{itemName(item)}</li>
            ))}
          </ul>
          {received.items.length === 0 && <p>None.</p>}
        </section>
        <section aria-labelledby="seals">
          <h2 id="seals">Seals, {received.seals.length}</h2>
          <ul className={css.seals}>
            {received.seals.map(seal => (
              <li key={seal}>{seal}</li>
            ))}
          </ul>
          {received.seals.length === 0 && <p>None.</p>}
        </section>
      </div>

      <section aria-labelledby="compared" className={differs(one) ? css.differs : undefined}>
        <h2 id="compared">Compared with what was sent</h2>
        {one.difference === null ? (
          <p>There was nothing to compare with.</p>
        ) : differs(one) ? (
          <ul>
            {differenceWords(one.difference).map(words => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        ) : (
          <p>
            {one.sent.said
              ? `All as sent: ${counted(received.items.length, 'item')}, ${counted(received.seals.length, 'seal')}.`
              : 'The seals are those of the plan. Items were not compared: the precinct did not say which it sent.'}
          </p>
        )}
      </section>

      <section aria-label="Signatures" className={paper.signatures}>
        {['Brought by', 'Brought by', 'Received by', 'Received by'].map((who, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: four lines that never move
          <p key={i}>
            <span aria-hidden="true" />
            {who}, signature and time
          </p>
        ))}
      </section>

      <p className={paper.caution}>
        This paper says what was handed over and when; it says nothing of votes or results. Follow your
        state’s law, your county’s procedures and counsel. Keep it: an entry that is rewritten or left out
        later shows against the number and hash above. Checked in again, a return has a receipt with another
        number.
      </p>
    </main>
  )
}
