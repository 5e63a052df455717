'use client'
import { useState } from 'react'
import { fromRfc3339 } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { Glyph, type Sign, signWords } from '../parts/glyph.tsx'
import { ThemeSwitch } from '../parts/themeSwitch.tsx'
import { Big } from './Lists.tsx'
import { nextUp } from './nextUp.ts'
import type { PageState } from './pageState.ts'
import { SunLine } from './SunLine.tsx'
import { dayNowOf, dayTimeOf, type Session, timeWords } from './session.ts'
import { CAUTION, HOME as W } from './words.ts'
import { SEVERAL } from './wordsOfSeveral.ts'

type Props = { session: Session; plan: DevicePlan; page: PageState; go(screen: string): void }

/** The time, the precinct and how it stands; then what is next, then everything else. */
export function Home({ session, plan, page, go }: Props) {
  const [all, setAll] = useState(false)
  const { link } = session
  const now = dayNowOf(session)
  const time = (at: number) => timeWords(link, at)
  const { next, more } = nextUp(plan, page, {
    now: now ?? session.wall,
    time,
    dayOf: at => dayTimeOf(link, at),
  })
  return (
    <main className="pp-page">
      <div className="pp-head">
        <div>
          <h1>{plan.precinct.name}</h1>
          <p className="pp-standing">
            <Glyph sign={signOfPage(plan, page)} /> {signWords(signOfPage(plan, page))}
          </p>
        </div>
        <p className="pp-clock">
          <span>{now === null ? W.noClock : time(now)}</span>
          <span className="pp-soft">
            {W.polls(time(fromRfc3339(plan.opensAt)), time(fromRfc3339(plan.closesAt)))}
          </span>
        </p>
      </div>
      {now !== null && (
        <SunLine now={now} opensAt={fromRfc3339(plan.opensAt)} closesAt={fromRfc3339(plan.closesAt)} />
      )}
      <p className="pp-soft">
        {plan.kind === 'practice' && <strong className="pp-practice">{W.practice}</strong>}
        {plan.county} · {plan.precinct.place}
      </p>
      <section className="pp-section" aria-labelledby="pp-next">
        <h2 id="pp-next">{W.next}</h2>
        <div className="pp-grid">
          {next.map(a => (
            <Big key={a.screen} title={a.title} note={a.note} now={a.now} onClick={() => go(a.screen)} />
          ))}
        </div>
      </section>
      <button type="button" className="pp-quiet" aria-expanded={all} onClick={() => setAll(!all)}>
        {all ? W.less : W.all}
      </button>
      {all && (
        <div className="pp-grid pp-section">
          {more.map(a => (
            <Big key={a.screen} title={a.title} note={a.note} onClick={() => go(a.screen)} />
          ))}
          <button type="button" className="pp-quiet" onClick={() => go('another')}>
            {SEVERAL.another}
          </button>
        </div>
      )}
      <button type="button" className="pp-quiet" onClick={() => go('said')}>
        {W.said} ({session.box.reports.length})
      </button>
      <p className="pp-caution">{CAUTION}</p>
      <ThemeSwitch className="pp-quiet" />
    </main>
  )
}

/** The sign of the precinct's own page: as on the board, but never silent, for it is here. */
function signOfPage(plan: DevicePlan, page: PageState): Sign {
  if (page.polls === 'suspended') return 'suspended'
  if (page.polls === 'open') {
    if (page.slotOpen) return 'slot'
    if (plan.tabulators.some(t => page.down.includes(t.tag))) return 'tabulator-down'
  }
  return page.standing
}
