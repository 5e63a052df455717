'use client'
import { useState } from 'react'
import { fromRfc3339 } from '../../server/domain/time.ts'
import type { DevicePlan } from '../../server/protocol/device.ts'
import { Glyph, type Sign } from '../parts/glyph.tsx'
import { ThemeSwitch } from '../parts/themeSwitch.tsx'
import { AfterLeaving } from './closing/AfterLeaving.tsx'
import { focusOnce } from './focusOnce.ts'
import { Big } from './Lists.tsx'
import { More } from './More.tsx'
import { nextUp } from './nextUp.ts'
import { NewNotices } from './notices/NewNotices.tsx'
import { NoticesToday } from './notices/NoticesToday.tsx'
import type { useChime } from './notices/useChime.ts'
import type { Notices } from './notices/useNotices.ts'
import { type PageState, standsNow } from './pageState.ts'
import { SunLine } from './SunLine.tsx'
import { dayNowOf, type Session, timeWords } from './session.ts'
import { useWords } from './words/WordsContext.tsx'

type Props = {
  session: Session
  plan: DevicePlan
  page: PageState
  notices: Notices
  chime: ReturnType<typeof useChime>
  /** Day time of a moment by this device's clock (RFC 3339). */
  dayOf(at: string): number
  /** Somebody came back here: what had the focus is gone. */
  back: boolean
  go(screen: string): void
}

/** The time, the precinct and how it stands; then what is next, then everything else. */
export function Home({ session, plan, page, notices, chime, dayOf, back, go }: Props) {
  const words = useWords()
  const { home: W } = words
  const [all, setAll] = useState(false)
  const { link } = session
  const now = dayNowOf(session)
  const time = (at: number) => timeWords(link, at)
  const { next, more } = nextUp(
    plan,
    page,
    {
      now: now ?? session.wall,
      time,
      dayOf,
    },
    words,
  )
  return (
    <main className="pp-page">
      <NewNotices
        notices={notices}
        time={time}
        read={id => session.say('NoticeAcknowledged', { notice: id })}
      />
      <div className="pp-head">
        <div>
          <h1 ref={back ? focusOnce : undefined} tabIndex={-1}>
            {plan.precinct.name}
          </h1>
          <p className="pp-standing">
            <Glyph sign={signOfPage(plan, page)} /> {words.signs[signOfPage(plan, page)]}
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
      {page.placeMoved && !page.departed && <p className="pp-line">{words.move.together}</p>}
      {(page.departed || page.received) && <AfterLeaving page={page} timeOf={at => time(dayOf(at))} />}
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
      {all && <More actions={more} go={go} />}
      <button type="button" className="pp-quiet" onClick={() => go('said')}>
        {W.said} ({session.box.reports.length})
      </button>
      <NoticesToday notices={notices} time={time} />
      <p className="pp-caution">{W.caution}</p>
      {plan.page.sound && (
        <button type="button" className="pp-quiet" onClick={chime.turn}>
          {chime.silenced ? W.sound : W.silence}
        </button>
      )}
      <ThemeSwitch className="pp-quiet" words={W} />
    </main>
  )
}

/** The sign of the precinct's own page: as on the board, but never silent, for it is here. */
function signOfPage(plan: DevicePlan, page: PageState): Sign {
  if (page.polls === 'suspended') return 'suspended'
  if (page.polls === 'open') {
    if (page.slotOpen) return 'slot'
    if (plan.tabulators.some(t => page.down.includes(standsNow(t.tag, page.replaced))))
      return 'tabulator-down'
  }
  return page.standing
}
