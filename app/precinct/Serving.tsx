'use client'
import { useEffect, useState } from 'react'
import type { Beside, EnrolOutcome, Identity } from '../live/deviceEnrol.ts'
import { codeOfAddress, forgetAddressCode } from './addressCode.ts'
import { Elsewhere } from './Elsewhere.tsx'
import { Enrol } from './Enrol.tsx'
import { asksPlace, besideOf, deviceOf, isLost, type Line, nameOf, useLines } from './lines.ts'
import { OfficeLine } from './OfficeLine.tsx'
import { Reporting } from './Reporting.tsx'
import { Switcher } from './Switcher.tsx'
import type { Session } from './session.ts'
import { useScreen } from './useScreen.ts'
import { LanguageSwitch, TitlesProvider, useWords } from './words/WordsContext.tsx'

type Props = {
  /** At least one. All are linked, whichever is shown. */
  lines: readonly Line[]
  /** The device that is shown; the first where it is none of them. */
  shown: string | null
  show(device: string): void
  enrol(code: string, label: string, beside?: Beside): Promise<EnrolOutcome>
  /** `instead`: the device that the office no longer accepts, and whose place the new one takes. */
  onEnrolled(identity: Identity, instead: string | null): void
  takeOff(device: string): void
  confirmPlace(device: string): void
}

/** The page of an enrolled tablet: one precinct at a time is shown and spoken for, and the others go on beside it. */
export function Serving(props: Props) {
  const { lines, shown } = props
  useLines(lines)
  const line = lines.find(l => deviceOf(l) === shown) ?? lines[0]!
  return (
    <TitlesProvider titles={line.link.state().plan?.titles}>
      <OnePrecinct {...props} line={line} />
    </TitlesProvider>
  )
}

type OneProps = Omit<Props, 'shown'> & { line: Line }

function OnePrecinct({ lines, line, show, enrol, onEnrolled, takeOff, confirmPlace }: OneProps) {
  const words = useWords()
  const wall = useWall()
  const [screen, go] = useScreen()
  const [codeCame, setCodeCame] = useState(() => codeOfAddress() !== '')
  const device = deviceOf(line)
  const several = lines.length > 1

  /** A question that was begun for one precinct is never answered for another. */
  function showOther(other: string) {
    go('', 'replace')
    show(other)
  }
  function enrolledAs(identity: Identity, instead: string | null) {
    setCodeCame(false)
    go('', 'replace')
    onEnrolled(identity, instead)
  }
  function notNow() {
    setCodeCame(false)
    forgetAddressCode()
    go('', 'replace')
  }

  const { plan } = line.link.state()
  const session: Session = {
    link: line.link.state(),
    box: line.link.outbox.state(),
    unsafe: line.unsafe,
    wall,
    say: (kind, body) => line.link.outbox.say(kind, body),
    mend: (of, kind, body) => line.link.outbox.mend(of, kind, body),
    leave: of => line.link.outbox.leave(of),
  }
  const top = several ? <Switcher lines={lines} shown={line} show={showOther} /> : null

  if (isLost(line)) {
    const beside = besideOf(lines)
    return (
      <div className="pp">
        {top}
        <Enrol
          key={device}
          enrol={(code, label) => enrol(code, label, beside)}
          onEnrolled={identity => enrolledAs(identity, device)}
          lost={{
            waiting: session.box.waiting + session.box.refused,
            ...(several ? { name: nameOf(line), takeOff: () => takeOff(device) } : {}),
          }}
        />
      </div>
    )
  }
  if (codeCame || screen === 'another')
    return (
      <div className="pp">
        <Enrol
          enrol={(code, label) => enrol(code, label, besideOf(lines))}
          onEnrolled={identity => enrolledAs(identity, null)}
          another={{ names: lines.filter(l => !isLost(l)).map(nameOf), leave: notNow }}
        />
      </div>
    )
  if (asksPlace(line, lines))
    return (
      <div className="pp">
        {top}
        <Elsewhere
          key={device}
          line={line}
          others={lines.filter(l => l !== line && !isLost(l))}
          confirm={() => confirmPlace(device)}
          takeOff={() => takeOff(device)}
        />
      </div>
    )
  if (!plan)
    return (
      <div className="pp">
        {top}
        <header>
          <OfficeLine session={session} go={() => undefined} />
        </header>
        <main className="pp-page">
          <LanguageSwitch />
          <p role="status">{words.home.waitingForPlan}</p>
        </main>
      </div>
    )
  return <Reporting key={device} session={session} plan={plan} top={top} />
}

/** This device's clock, once a second. */
function useWall(): number {
  const [wall, setWall] = useState(() => Date.now())
  useEffect(() => {
    const timer = setInterval(() => setWall(Date.now()), 1_000)
    return () => clearInterval(timer)
  }, [])
  return wall
}
