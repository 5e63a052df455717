'use client'
import { type FormEvent, useRef, useState } from 'react'
import { MINUTE } from '../../server/domain/time.ts'
import { linkWords } from '../desk/foot.tsx'
import { clockWords } from '../live/clock.ts'
import type { KeptId } from '../live/sendOnce.ts'
import { useBoard, useDayNow, usePlan, useWallSecond } from '../live/useBoard.ts'
import { CheckIn } from './checkIn.tsx'
import { type CheckInDraft, emptyDraft } from './checkInDraft.ts'
import { Received } from './received.tsx'
import css from './receiving.module.css'
import { found, ReturnList } from './returnList.tsx'
import { useReturns } from './useReturns.ts'

/** What is open beside the list: a return, and whether it is being checked in (anew: over which receipt). */
type Open = { code: string; checking: boolean; replaces: number | null; fresh: boolean }

/** The receiving table: what is expected, and the return that lies on it. */
export function ReceivingTable({ day, post }: { day: string; post: string | null }) {
  const plan = usePlan()
  const now = useDayNow(MINUTE)
  const returns = useReturns(day)
  const [search, setSearch] = useState('')
  const [open, setOpen] = useState<Open | null>(null)
  const [drafts, setDrafts] = useState<Readonly<Record<string, CheckInDraft>>>({})
  const kept = useRef(new Map<string, KeptId>())
  const [said, setSaid] = useState('')
  const field = useRef<HTMLInputElement>(null)
  const { stations } = returns
  const usual = post ?? (stations.length === 1 ? stations[0]!.code : '')
  const [station, setStation] = useState<string | null>(null)
  const all = returns.byCode === null ? null : [...returns.byCode.values()]
  const one = open === null ? undefined : returns.byCode?.get(open.code)

  function show(code: string) {
    const there = returns.byCode?.get(code)
    setSaid('')
    setOpen({ code, checking: !there?.received, replaces: null, fresh: false })
  }
  function submit(event: FormEvent) {
    event.preventDefault()
    const fitting = all === null ? [] : found(all, search)
    const exact = fitting.find(r => r.precinct.toLowerCase() === search.trim().toLowerCase())
    const only = exact ?? (fitting.length === 1 ? fitting[0] : undefined)
    if (only) show(only.precinct)
    else
      setSaid(
        fitting.length === 0 ? 'No precinct fits.' : `${fitting.length} precincts fit: type more, or choose.`,
      )
  }
  function back() {
    setOpen(null)
    setSearch('')
    setSaid('')
    field.current?.focus()
  }
  function keptOf(code: string): KeptId {
    const there = kept.current.get(code) ?? { current: null }
    kept.current.set(code, there)
    return there
  }

  return (
    <div className={css.page}>
      <header className={css.head}>
        <div>
          <h1>Receiving, {plan.county}</h1>
          <p className={css.soft}>
            {plan.kind === 'practice' && <strong className={css.practice}>Practice day</strong>}
            {plan.name} · all returns due by {clockWords(plan.returnBy, plan.timeZone)}
          </p>
        </div>
        {stations.length > 1 && (
          <label className={css.station}>
            <span>This table is at</span>
            <select value={station ?? usual} onChange={e => setStation(e.target.value)}>
              <option value="">not said</option>
              {stations.map(s => (
                <option key={s.code} value={s.code}>
                  {s.name}
                </option>
              ))}
            </select>
          </label>
        )}
      </header>
      <main className={`${css.columns} ${open === null ? css.shut : css.opened}`}>
        <div className={css.listSide}>
          <form onSubmit={submit} className={css.search}>
            <label htmlFor="find">Precinct: code or name, typed or scanned</label>
            <div>
              <input
                id="find"
                ref={field}
                value={search}
                autoComplete="off"
                onChange={e => {
                  setSearch(e.target.value)
                  setSaid('')
                }}
              />
              <button type="submit" className="button">
                Open
              </button>
            </div>
            <p role="status" className={css.said}>
              {said}
            </p>
          </form>
          {returns.problem !== null && (
            <p role="alert" className="wrong">
              {all === null ? 'The returns could not be fetched' : 'This list may be old'}: {returns.problem}{' '}
              <button type="button" className="button quiet" onClick={() => returns.refresh()}>
                Ask again
              </button>
            </p>
          )}
          {all === null && returns.problem === null && <p role="status">Fetching the returns…</p>}
          {all !== null && (
            <ReturnList all={all} search={search} now={now} open={open?.code ?? null} onOpen={show} />
          )}
        </div>
        <section className={css.beside} aria-label="Return">
          {open === null || !one ? (
            <p className={css.hint}>
              Choose a return to check it in. Items and seals are typed as they are found: the numbers that
              were expected are not shown before.
            </p>
          ) : open.checking ? (
            <CheckIn
              key={one.precinct}
              one={one}
              replaces={open.replaces}
              draft={drafts[one.precinct] ?? emptyDraft(station ?? usual)}
              kept={keptOf(one.precinct)}
              onDraft={draft => setDrafts(d => ({ ...d, [one.precinct]: draft }))}
              onAnew={position => setOpen({ ...open, replaces: position })}
              onClose={back}
              onLook={() => setOpen({ ...open, checking: false })}
              onDone={async () => {
                const came = await returns.refresh([one.precinct])
                setDrafts(({ [one.precinct]: _, ...rest }) => rest)
                setOpen({ code: one.precinct, checking: false, replaces: null, fresh: true })
                return came
              }}
            />
          ) : (
            <Received
              key={`${one.precinct} ${one.received?.position ?? ''} ${open.fresh}`}
              day={day}
              one={one}
              fresh={open.fresh}
              problem={returns.problem}
              onAsk={() => returns.refresh([one.precinct])}
              onAnew={position =>
                setOpen({ code: one.precinct, checking: true, replaces: position, fresh: false })
              }
              onClose={back}
            />
          )}
        </section>
      </main>
      <Foot />
    </div>
  )
}

function Foot() {
  const plan = usePlan()
  const state = useBoard(s => s)
  const wall = useWallSecond()
  const { words, lost } = linkWords(state, wall, plan.timeZone)
  return (
    <footer className={css.foot}>
      <p>
        Operational picture of materials under way. No votes, no results. Follow your state’s law, your
        county’s procedures and counsel.
      </p>
      <p className={lost ? css.lost : undefined}>{words}</p>
    </footer>
  )
}
