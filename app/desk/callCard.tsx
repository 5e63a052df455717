'use client'
import { useState } from 'react'
import { lineWords, reasonWords, ruleTitle } from '../../server/domain/calls/words.ts'
import type { CallLine } from '../../server/domain/day/row.ts'
import { MINUTE } from '../../server/domain/time.ts'
import type { PlanBrief } from '../../server/protocol/board.ts'
import { clockWords, lengthWords } from '../live/clock.ts'
import { useBoard, useDayNow, usePlan } from '../live/useBoard.ts'
import { countWords } from '../parts/figures.ts'
import { TIERS, VOTER_MINUTES } from '../parts/vocabulary.ts'
import css from './callCard.module.css'
import { CallPhones } from './callPhones.tsx'
import { DeferForm } from './deferForm.tsx'
import { refusalWords, useDesk } from './deskContext.ts'
import { RoverSign } from './errands/roverSign.tsx'
import { SendRoverForm } from './errands/sendRover.tsx'
import { useErrandsTo } from './errands/useErrands.ts'
import { LogForm } from './logForm.tsx'

/** What a line of the call list is called: the precinct, or how many share the cause. */
export function lineName(line: CallLine, plan: PlanBrief): string {
  if (line.precincts.length === 0) return plan.county
  const name = plan.precincts.find(p => p.code === line.precincts[0])?.name ?? line.precincts[0]!
  return line.precincts.length === 1 ? name : `${line.precincts.length} precincts`
}

export function CallCard({ line }: { line: CallLine }) {
  const plan = usePlan()
  const people = useBoard(s => s.people)
  const now = useDayNow(MINUTE)
  const { me, mayAct, form, setForm, open, send } = useDesk()
  const [busy, setBusy] = useState(false)
  const [problem, setProblem] = useState<string | null>(null)
  const mine = line.call.takenBy === me.id
  const other = line.call.takenBy !== null && !mine ? (people[line.call.takenBy] ?? 'Somebody else') : null
  const putOff = line.call.takenBy === null && line.call.backUntil !== null && line.call.backUntil > now
  const only = line.precincts.length === 1 ? line.precincts[0]! : null
  const time = (at: number) => clockWords(at, plan.timeZone)
  const words = lineWords(line, plan, now)
  const onIt = useErrandsTo(line.precincts).open
  const openForm = form?.key === line.key ? form.form : null

  async function act(what: 'TakeCall' | 'HandOverCall') {
    setBusy(true)
    setProblem(refusalWords(await send(what, { precincts: [...line.precincts] })))
    setBusy(false)
  }

  const name = lineName(line, plan)
  return (
    <article
      className={`${css.card} ${css[line.tier]} ${other || putOff || (line.steppedBack && !mine) ? css.back : ''} ${mine ? css.mine : ''}`}
      aria-label={name}
    >
      <header className={css.top}>
        <h3>
          {only ? (
            <button type="button" className={css.name} onClick={() => open(only)}>
              {name}
            </button>
          ) : (
            name
          )}
        </h3>
        <p className={`${css.tier} tier-${line.tier}`}>
          <span>{words.headline}</span> <span className={css.tierWord}>{TIERS[line.tier]}</span>
        </p>
      </header>
      {mine && only && <CallPhones code={only} />}
      {mine || line.precincts.length !== 1 ? (
        <>
          <p>{words.fact}</p>
          {line.precincts.length > 1 && <Places codes={line.precincts} />}
          <p className={css.ask}>Ask: {words.ask}</p>
          {mine && <p className={css.ask}>{words.ends}</p>}
        </>
      ) : (
        line.reasons.slice(0, 1).map(first => <Gravest key={first.key} line={line} now={now} />)
      )}
      <RoverSign precincts={line.precincts} />
      <footer className={css.foot}>
        <p className={css.cost} title={line.voterMinutes > 0 ? `Voter-minutes: ${VOTER_MINUTES}` : undefined}>
          {line.voterMinutes > 0 && `${costWords(line, plan)} · `}
          {now - line.since < MINUTE ? 'just now' : `for ${lengthWords(now - line.since)}`}
          {putOff && ` · back at ${time(line.call.backUntil!)}`}
        </p>
        {other && (
          <p className={css.who}>
            {other} has it{line.call.takenAt !== null && `, ${time(line.call.takenAt)}`}
          </p>
        )}
        {mayAct && !other && line.precincts.length > 0 && (
          <div className={css.buttons}>
            {(!only || onIt.length === 0) && (
              <button
                type="button"
                className="button quiet"
                aria-expanded={openForm === 'rover'}
                onClick={() => setForm(openForm === 'rover' ? null : { key: line.key, form: 'rover' })}
              >
                Send a rover
              </button>
            )}
            {mine ? (
              <>
                <button
                  type="button"
                  className="button quiet"
                  disabled={busy}
                  onClick={() => act('HandOverCall')}
                >
                  Give back
                </button>
                {only && line.reasons.some(r => r.rule === 'kept-aside') && (
                  <button type="button" className="button quiet" onClick={() => open(only)}>
                    Look at what is kept aside
                  </button>
                )}
                {only && (
                  <button type="button" className="button quiet" onClick={() => open(only, 'caller')}>
                    Write in
                  </button>
                )}
                <button
                  type="button"
                  className="button"
                  aria-expanded={openForm === 'log'}
                  onClick={() => setForm(openForm === 'log' ? null : { key: line.key, form: 'log' })}
                >
                  Log how it ended
                </button>
              </>
            ) : (
              <>
                <button
                  type="button"
                  className="button quiet"
                  aria-expanded={openForm === 'defer'}
                  onClick={() => setForm(openForm === 'defer' ? null : { key: line.key, form: 'defer' })}
                >
                  Put off
                </button>
                <button
                  type="button"
                  className={line.steppedBack ? 'button quiet' : 'button'}
                  disabled={busy}
                  onClick={() => act('TakeCall')}
                >
                  {busy ? 'Taking…' : 'Take the call'}
                </button>
              </>
            )}
          </div>
        )}
      </footer>
      <div role="status">{problem && <p className={css.problem}>{problem}</p>}</div>
      {openForm === 'log' && mine && <LogForm line={line} />}
      {openForm === 'rover' && mayAct && !other && <SendRoverForm precincts={line.precincts} />}
      {openForm === 'defer' && !mine && !other && <DeferForm line={line} />}
    </article>
  )
}

/** What the line costs: the arithmetic of the reason that costs the most, or the sum over precincts. */
function costWords(line: CallLine, plan: PlanBrief): string {
  const dearest = line.reasons.find(r => r.voterMinutes === line.voterMinutes)
  const risk = dearest ? reasonWords(dearest, plan).risk : ''
  if (risk !== '') return risk.replace(/\.$/, '')
  return `${countWords(line.voterMinutes)} voter-minutes${line.precincts.length > 1 ? ' in all' : ''}`
}

/** Before the call is taken: the gravest reason and what to ask first; the others by name. */
function Gravest({ line, now }: { line: CallLine; now: number }) {
  const plan = usePlan()
  const [first, ...others] = line.reasons
  const words = reasonWords(first!, plan, now)
  return (
    <>
      <p>{words.fact}</p>
      {others.length > 0 && <p>Also: {others.map(r => ruleTitle[r.rule].toLowerCase()).join(', ')}.</p>}
      <p className={`${css.ask} ${css.first}`}>Ask: {words.ask}</p>
    </>
  )
}

function Places({ codes }: { codes: readonly string[] }) {
  const plan = usePlan()
  const { open } = useDesk()
  return (
    <details className={css.places}>
      <summary>Open one of them</summary>
      <ul>
        {codes.map(code => (
          <li key={code}>
            <button type="button" className={css.place} onClick={() => open(code)}>
              {plan.precincts.find(p => p.code === code)?.name ?? code}
            </button>
          </li>
        ))}
      </ul>
    </details>
  )
}
