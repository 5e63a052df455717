'use client'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { screenOf } from './flows/flows.ts'
import { keptAside } from './keptAside.ts'
import { Frame } from './Lists.tsx'
import { problemWords } from './problemWords.ts'
import { sayAs } from './sayAs.ts'
import { dayTimeOf, type Session, timeWords } from './session.ts'
import { useWords } from './words/WordsContext.tsx'

type Props = {
  session: Session
  plan: DevicePlan
  leave(): void
  /** Says a report again in its own conversation. */
  mend(report: KeptReport, screen: string): void
}

/** Everything this device said today, latest first, each with its state. What needs mending stands on top. */
export function SaidToday({ session, plan, leave, mend }: Props) {
  const words = useWords()
  const { said: W } = words
  const { box, link, wall } = session
  const refused = box.reports.filter(r => r.state === 'refused' && !keptAside(r))
  const time = (r: KeptReport) => timeWords(link, r.dayAt ?? dayTimeOf(link, r.at))
  return (
    <Frame title={W.title} lead={W.lead} leave={leave}>
      {box.retryAt !== null && box.waiting > 0 && (
        <p className="pp-help">{W.retry(Math.max(0, Math.ceil((box.retryAt - wall) / 1_000)))}</p>
      )}
      {box.reports.some(keptAside) && <p className="pp-error">{words.problems.replaced}</p>}
      {refused.length > 0 && (
        <section className="pp-section">
          <h2>{W.toMend}</h2>
          {refused.map(r => (
            <Amiss key={r.number} report={r} time={time(r)} plan={plan} session={session} mend={mend} />
          ))}
        </section>
      )}
      {box.leftovers.length > 0 && (
        <section className="pp-section">
          <h2>{W.leftovers}</h2>
          <p className="pp-help">{W.leftoversHelp}</p>
          {box.leftovers.map(r => (
            <Amiss
              key={`${r.device}:${r.number}`}
              report={r}
              time={time(r)}
              plan={plan}
              session={session}
              mend={mend}
              leftover
            />
          ))}
        </section>
      )}
      {box.reports.length === 0 && <p>{W.empty}</p>}
      <ul className="pp-list">
        {box.reports
          .filter(r => !refused.includes(r))
          .map(r => (
            <li key={r.number}>
              <span>
                <span className="pp-time">{time(r)}</span> {sayAs(r, plan, words)}
              </span>
              <span className={r.state === 'waiting' || r.state === 'again' ? 'pp-waiting' : 'pp-soft'}>
                {keptAside(r) ? W.state.aside : W.state[r.state as keyof typeof W.state]}
              </span>
            </li>
          ))}
      </ul>
    </Frame>
  )
}

type AmissProps = Pick<Props, 'session' | 'plan' | 'mend'> & {
  report: KeptReport
  time: string
  leftover?: boolean
}

function Amiss({ report, time, plan, session, mend, leftover }: AmissProps) {
  const words = useWords()
  const { said: W } = words
  const screen = screenOf(report.kind, report.body)
  return (
    <article className="pp-amiss">
      <p>
        <span className="pp-time">{time}</span> {sayAs(report, plan, words)}
      </p>
      {report.problems?.map(p => (
        <p key={`${p.path}:${p.message}`} className="pp-error">
          {problemWords(p, words)}
        </p>
      ))}
      {leftover && <p className="pp-soft">{W.state.leftover}</p>}
      {leftover && (
        <button
          type="button"
          className="pp-go"
          onClick={() => void session.mend(report, report.kind as never, report.body)}
        >
          {W.send}
        </button>
      )}
      {!leftover && screen && (
        <button type="button" className="pp-go" onClick={() => mend(report, screen)}>
          {W.mend}
        </button>
      )}
      <button type="button" className="pp-quiet" onClick={() => void session.leave(report)}>
        {W.leave}
      </button>
    </article>
  )
}
