'use client'
import { useEffect, useState, useSyncExternalStore } from 'react'
import { enrol, type Identity } from '../live/deviceEnrol.ts'
import { askToPersist, type Here, linkHere, openHere } from '../live/deviceHere.ts'
import type { DeviceLink } from '../live/deviceLink.ts'
import { Enrol } from './Enrol.tsx'
import { OfficeLine } from './OfficeLine.tsx'
import { Reporting } from './Reporting.tsx'
import type { Session } from './session.ts'
import { HOME } from './words.ts'

/** Who this device is decides what is shown: nobody yet (enrol), or the page of its precinct. */
export function PrecinctApp() {
  const [here, setHere] = useState<Here | null>(null)
  const [identity, setIdentity] = useState<Identity | null>(null)
  const [unkept, setUnkept] = useState(false)

  useEffect(() => {
    let gone = false
    void openHere().then(async opened => {
      const known = await opened.keep.read<Identity>('identity').catch(() => undefined)
      if (gone) return
      setIdentity(known ?? null)
      setHere(opened)
    })
    return () => {
      gone = true
    }
  }, [])

  function enrolled(next: Identity) {
    void askToPersist()
    here?.keep.write('identity', next).catch(() => setUnkept(true))
    setIdentity(next)
  }

  if (!here)
    return (
      <main className="pp-page">
        <p role="status">{HOME.loading}</p>
      </main>
    )
  if (!identity)
    return (
      <div className="pp">
        <Enrol enrol={enrol} onEnrolled={enrolled} />
      </div>
    )
  return (
    <Linked
      key={identity.device}
      here={here}
      identity={identity}
      unsafe={here.unsafe || unkept}
      onEnrolled={enrolled}
    />
  )
}

type LinkedProps = { here: Here; identity: Identity; unsafe: boolean; onEnrolled(identity: Identity): void }

function Linked({ here, identity, unsafe, onEnrolled }: LinkedProps) {
  const [link, setLink] = useState<DeviceLink | null>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: one link for one device key, whatever object holds it
  useEffect(() => {
    const made = linkHere(here, identity)
    setLink(made)
    void made.start()
    return () => made.stop()
  }, [here, identity.key])
  return link && <Live link={link} unsafe={unsafe} onEnrolled={onEnrolled} />
}

function Live({
  link,
  unsafe,
  onEnrolled,
}: {
  link: DeviceLink
  unsafe: boolean
  onEnrolled(identity: Identity): void
}) {
  const state = useSyncExternalStore(link.subscribe, link.state, link.state)
  const box = useSyncExternalStore(link.outbox.subscribe, link.outbox.state, link.outbox.state)
  const wall = useWall()
  const session: Session = {
    link: state,
    box,
    unsafe,
    wall,
    say: (kind, body) => link.outbox.say(kind, body),
    mend: (of, kind, body) => link.outbox.mend(of, kind, body),
    leave: of => link.outbox.leave(of),
  }
  if (state.link === 'key-lost')
    return (
      <div className="pp">
        <Enrol enrol={enrol} onEnrolled={onEnrolled} lost={{ waiting: box.waiting + box.refused }} />
      </div>
    )
  if (!state.plan)
    return (
      <div className="pp">
        <header>
          <OfficeLine session={session} go={() => undefined} />
        </header>
        <main className="pp-page">
          <p role="status">{HOME.waitingForPlan}</p>
        </main>
      </div>
    )
  return <Reporting session={session} plan={state.plan} />
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
