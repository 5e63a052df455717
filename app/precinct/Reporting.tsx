'use client'
import { type ReactNode, useEffect, useMemo, useState } from 'react'
import type { DevicePlan } from '../../server/protocol/device.ts'
import type { KeptReport } from '../live/outboxStore.ts'
import { Conversation } from './asking/Conversation.tsx'
import type { ToSay } from './asking/question.ts'
import { flowOf } from './flows/flows.ts'
import { Home } from './Home.tsx'
import { Lists } from './Lists.tsx'
import { OfficeLine } from './OfficeLine.tsx'
import { pageStateOf } from './pageState.ts'
import { SaidToday } from './SaidToday.tsx'
import { dayNowOf, dayTimeOf, type Session, timeWords } from './session.ts'
import { useScreen } from './useScreen.ts'
import { SEVERAL } from './wordsOfSeveral.ts'

const LISTS = ['steps/opening', 'steps/closing', 'seals', 'tapes', 'closing-tapes', 'equipment']
/** A conversation goes back to the list it was chosen from. */
const LIST_OF: Record<string, string> = {
  seal: 'seals',
  tape: 'tapes',
  'closing-tape': 'closing-tapes',
  equipment: 'equipment',
}

type Mending = { report: KeptReport; screen: string; said: boolean }

/** `top`: where a tablet serves several precincts, the way from one to the other. */
type Props = { session: Session; plan: DevicePlan; top?: ReactNode }

/** The enrolled page: what the office knows on top, and for which precinct; one screen below. */
export function Reporting({ session, plan, top }: Props) {
  const [screen, go] = useScreen()
  const [mending, setMending] = useState<Mending | null>(null)
  const { link, box } = session
  const page = useMemo(
    () => pageStateOf(plan, link.planAt, box.reports, link.lastHeard !== null),
    [plan, link.planAt, box.reports, link.lastHeard],
  )
  const [room, name = '', what] = screen.split('/')
  const about = what === undefined ? undefined : decode(what)
  const flow = useMemo(() => (room === 'flow' ? flowOf(name, about) : null), [room, name, about])

  // Left by the phone's own back button: what is said next mends nothing.
  useEffect(() => {
    setMending(m => (m && m.screen !== screen ? null : m))
  }, [screen])

  const leave = () => {
    const phase = plan.steps.find(s => s.code === about)?.phase ?? 'opening'
    const back = mending ? 'said' : name === 'step' ? `steps/${phase}` : (LIST_OF[name] ?? '')
    setMending(null)
    go(back)
  }
  const move = (next: string) => {
    setMending(null)
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
        {(top || screen !== '') && (
          <p className="pp-for">
            <span className="pp-soft">{SEVERAL.speaksFor}</span> <strong>{plan.precinct.name}</strong>
          </p>
        )}
        <OfficeLine session={session} go={move} />
      </header>
      {flow ? (
        <Conversation
          key={screen}
          flow={flow}
          around={{
            plan,
            page,
            now: dayNowOf(session) ?? session.wall,
            time: at => timeWords(link, at),
            timeOf: at => timeWords(link, dayTimeOf(link, at)),
          }}
          say={say}
          leave={leave}
          go={move}
          allHeard={box.waiting === 0}
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
      ) : LISTS.includes(screen) ? (
        <Lists which={screen} plan={plan} page={page} go={go} leave={() => go('')} />
      ) : (
        <Home session={session} plan={plan} page={page} go={go} />
      )}
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
