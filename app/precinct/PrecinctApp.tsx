'use client'
import { useCallback, useEffect, useMemo, useState } from 'react'
import { enrol, type Identity } from '../live/deviceEnrol.ts'
import { askToPersist, type Here, linkHere, openHere } from '../live/deviceHere.ts'
import type { DeviceLink } from '../live/deviceLink.ts'
import {
  changeEnrolments,
  type Enrolment,
  enrolledAlso,
  placeConfirmed,
  readEnrolments,
  servedNow,
  takenOff,
} from '../live/enrolments.ts'
import { FIRST_DATABASE } from '../live/outboxIdb.ts'
import { Enrol } from './Enrol.tsx'
import type { Line } from './lines.ts'
import { Serving } from './Serving.tsx'
import { HOME } from './words.ts'

/** Who this tablet is decides what is shown: nobody yet (enrol), or the page of its precincts. */
export function PrecinctApp() {
  const [first, setFirst] = useState<Here | null>(null)
  const [all, setAll] = useState<readonly Enrolment[]>([])
  const [shown, setShown] = useState<string | null>(null)
  const [unkept, setUnkept] = useState(false)
  const [open, setOpen] = useState<Readonly<Record<string, { link: DeviceLink; unsafe: boolean }>>>({})
  const [openOnce] = useState(opener)

  useEffect(() => {
    let gone = false
    void openOnce(FIRST_DATABASE).then(async here => {
      const known = await readEnrolments(here.keep).catch(() => [])
      const last = await here.keep.read<string>('shown').catch(() => undefined)
      if (gone) return
      setAll(known)
      setShown(last ?? null)
      setFirst(here)
    })
    return () => {
      gone = true
    }
  }, [openOnce])

  const served = useMemo(() => servedNow(all), [all])
  const lines = useMemo<Line[]>(
    () =>
      served.flatMap(enrolment => {
        const opened = open[enrolment.identity.device]
        return opened ? [{ enrolment, link: opened.link, unsafe: opened.unsafe || unkept }] : []
      }),
    [served, open, unkept],
  )
  const onLine = useCallback((device: string, line: { link: DeviceLink; unsafe: boolean } | null) => {
    setOpen(({ [device]: _, ...others }) => (line ? { ...others, [device]: line } : others))
  }, [])

  if (!first) return <Moment />

  async function change(how: (all: readonly Enrolment[]) => Enrolment[]) {
    const next = await changeEnrolments(first!.keep, how).catch(() => {
      setUnkept(true)
      return how(all)
    })
    setAll(next)
  }
  function show(device: string) {
    setShown(device)
    // Only a convenience: what is shown says itself which precinct it is.
    first!.keep.write('shown', device).catch(() => undefined)
  }
  function enrolled(identity: Identity, instead: string | null) {
    void askToPersist()
    show(identity.device)
    void change(now => enrolledAlso(now, identity, instead))
  }

  if (served.length === 0)
    return (
      <div className="pp">
        <Enrol
          enrol={(code, label) => enrol(code, label)}
          onEnrolled={identity => enrolled(identity, null)}
        />
      </div>
    )
  return (
    <>
      {served.map(enrolment => (
        <Linked key={enrolment.identity.key} enrolment={enrolment} openOnce={openOnce} onLine={onLine} />
      ))}
      {lines.length === 0 ? (
        <Moment />
      ) : (
        <Serving
          lines={lines}
          shown={shown}
          show={show}
          enrol={enrol}
          onEnrolled={enrolled}
          takeOff={device => void change(now => takenOff(now, device))}
          confirmPlace={device => void change(now => placeConfirmed(now, device))}
        />
      )}
    </>
  )
}

function Moment() {
  return (
    <main className="pp-page">
      <p role="status">{HOME.loading}</p>
    </main>
  )
}

/** Opens each database once, also where it is only memory: what waits there is found again. */
function opener(): (database: string) => Promise<Here> {
  const opened = new Map<string, Promise<Here>>()
  return database => {
    const known = opened.get(database) ?? openHere(database)
    opened.set(database, known)
    return known
  }
}

type LinkedProps = {
  enrolment: Enrolment
  openOnce(database: string): Promise<Here>
  onLine(device: string, line: { link: DeviceLink; unsafe: boolean } | null): void
}

/** Holds the line of one enrolment for as long as this tablet serves its precinct, whether it is shown or not. */
function Linked({ enrolment: { identity, database }, openOnce, onLine }: LinkedProps) {
  // biome-ignore lint/correctness/useExhaustiveDependencies: one link for one device key, whatever object holds it
  useEffect(() => {
    let gone = false
    let link: DeviceLink | null = null
    void openOnce(database).then(here => {
      if (gone) return
      link = linkHere(here, identity)
      onLine(identity.device, { link, unsafe: here.unsafe })
      void link.start()
    })
    return () => {
      gone = true
      link?.stop()
      onLine(identity.device, null)
    }
  }, [identity.key, openOnce, onLine])
  return null
}
