'use client'
import { type ReactNode, useEffect, useMemo, useState } from 'react'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { Conversation } from './asking/Conversation.tsx'
import type { Around, ToSay } from './asking/question.ts'
import { GuideButton } from './cards/GuideButton.tsx'
import { guideScreen, isGuide, useBeneath } from './cards/guideAddress.ts'
import { QuickReference } from './cards/QuickReference.tsx'
import { Custody } from './closing/Custody.tsx'
import { NO_DRAFT, Reconcile, type ReconcileDraft } from './closing/Reconcile.tsx'
import { flowOf } from './flows/flows.ts'
import { Home } from './Home.tsx'
import { keptAside } from './keptAside.ts'
import { Lists } from './Lists.tsx'
import { labelledIn } from './names.ts'
import { callsNow } from './notices/calls.ts'
import { useChime } from './notices/useChime.ts'
import { useNotices } from './notices/useNotices.ts'
import { OfficeLine } from './OfficeLine.tsx'
import { pageStateOf } from './pageState.ts'
import { Reminders } from './Reminders.tsx'
import { SaidToday } from './SaidToday.tsx'
import { dayNowOf, dayTimeOf, type Session, timeWords } from './session.ts'
import { useScreen } from './useScreen.ts'
import { LanguageSwitch, useWords } from './words/WordsContext.tsx'

const LISTS = ['steps/opening', 'steps/closing', 'seals', 'tapes', 'closing-tapes', 'equipment']
/** A conversation goes back to the list it was chosen from. */
const LIST_OF: Record<string, string> = {
  seal: 'seals',
  tape: 'tapes',
  'closing-tape': 'closing-tapes',
  equipment: 'equipment',
  'seal-off': 'custody',
  'seal-on': 'custody',
}

type Mending = { report: KeptReport; screen: string; said: boolean }

/** `top`: where a tablet serves several precincts, the way from one to the other. */
type Props = { session: Session; plan: DevicePlan; top?: ReactNode }

/** The enrolled page: what the office knows on top, and for which precinct; one screen below. */
export function Reporting({ session, plan: told, top }: Props) {
  const words = useWords()
  const plan = useMemo(() => labelledIn(told, words), [told, words])
  const [shown, go] = useScreen()
  const inGuide = isGuide(shown)
  const screen = useBeneath(shown)
  const [mending, setMending] = useState<Mending | null>(null)
  const [draft, setDraft] = useState<ReconcileDraft>(NO_DRAFT)
  /** How often a conversation led to its own beginning. */
  const [begun, setBegun] = useState(0)
  const [wasAway, setWasAway] = useState(false)
  if (screen !== '' && !wasAway) setWasAway(true)
  const { link, box } = session
  const page = useMemo(
    () => pageStateOf(plan, link.planAt, box.reports, link.lastHeard !== null),
    [plan, link.planAt, box.reports, link.lastHeard],
  )
  const now = dayNowOf(session) ?? session.wall
  // As the page showed it then: on a practice day the clock may have been moved on since.
  const shownThen = useMemo(() => new Map(box.reports.map(r => [r.at, r.dayAt])), [box.reports])
  const aside = box.reports.some(keptAside)
  const dayOf = (at: string) => shownThen.get(at) ?? dayTimeOf(link, at)
  const notices = useNotices(plan, page)
  const chime = useChime(plan.page.sound, callsNow(plan, page, notices.all, { now, dayOf }))
  const around: Around = {
    plan,
    page,
    words,
    now,
    time: at => timeWords(link, at),
    timeOf: at => timeWords(link, dayOf(at)),
  }
  const [room, name = '', what] = screen.split('/')
  const about = what === undefined ? undefined : decode(what)
  const flow = useMemo(() => (room === 'flow' ? flowOf(name, about) : null), [room, name, about])

  // Left by the phone's own back button: what is said next mends nothing.
  useEffect(() => {
    setMending(m => (m && m.screen !== screen ? null : m))
  }, [screen])

  const leave = () => {
    const phase =
      plan.steps.find(s => s.code === about)?.phase ?? (about === 'closing' ? 'closing' : 'opening')
    const back = mending
      ? 'said'
      : name === 'step' || name.startsWith('trouble')
        ? `steps/${phase}`
        : (LIST_OF[name] ?? '')
    setMending(null)
    go(back)
  }
  const move = (next: string) => {
    setMending(null)
    if (next === screen) setBegun(begun + 1)
    go(next)
  }
  const say = ({ kind, body }: ToSay) => {
    if (!mending || mending.said) return session.say(kind, body)
    return session.mend(mending.report, kind, body).then(outcome => {
      // What else the conversation says is new.
      if (outcome.ok) setMending({ ...mending, said: true })
      return outcome
    })
  }
  return (
    <div className="pp">
      {top}
      <header>
        <div className="pp-top">
          {(top || shown !== '') && (
            <p className="pp-for">
              <span className="pp-soft">{words.several.speaksFor}</span> <strong>{plan.precinct.name}</strong>
            </p>
          )}
          <GuideButton open={inGuide} toggle={() => go(inGuide ? screen : guideScreen())} />
          <LanguageSwitch />
        </div>
        <OfficeLine
          session={session}
          go={move}
          notices={screen === '' && !inGuide ? 0 : notices.all.filter(n => n.fresh).length}
        />
        <Reminders
          plan={plan}
          page={page}
          times={{ now, dayOf, time: around.time }}
          screen={inGuide ? shown : screen}
          go={move}
        />
      </header>
      {inGuide && <QuickReference screen={shown} plan={plan} go={go} close={() => go(screen)} />}
      <div hidden={inGuide}>
        {flow ? (
          <Conversation
            key={`${screen} ${begun}`}
            flow={flow}
            around={around}
            say={say}
            leave={leave}
            go={move}
            allHeard={box.waiting === 0}
            aside={aside}
          />
        ) : screen === 'said' ? (
          <SaidToday
            session={session}
            plan={plan}
            leave={() => go('')}
            mend={(report, to) => {
              go(to)
              setMending({ report, screen: to, said: false })
            }}
          />
        ) : screen === 'reconcile' ? (
          <Reconcile
            around={around}
            draft={draft}
            setDraft={setDraft}
            say={say}
            leave={leave}
            go={move}
            allHeard={box.waiting === 0}
            aside={aside}
          />
        ) : screen === 'custody' ? (
          <Custody plan={plan} page={page} time={around.time} dayOf={dayOf} go={go} leave={() => go('')} />
        ) : LISTS.includes(screen) ? (
          <Lists
            which={screen}
            plan={plan}
            page={page}
            reports={box.reports}
            timeOf={around.timeOf}
            go={go}
            leave={() => go('')}
          />
        ) : (
          <Home
            session={session}
            plan={plan}
            page={page}
            notices={notices}
            chime={chime}
            dayOf={dayOf}
            back={wasAway}
            go={go}
          />
        )}
      </div>
    </div>
  )
}

function decode(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return text
  }
}
