'use client'
import { useCallback, useEffect, useMemo, useState } from 'react'
import { enrol, type Identity } from '../live/deviceEnrol.ts'
import type { Here } from '../live/deviceHere.ts'
import { linkHere } from '../live/deviceLine.ts'
import type { DeviceLink } from '../live/deviceLink.ts'
import type { Enrolment } from '../live/enrolments.ts'
import type { Line } from './lines.ts'
import { Moment } from './Moment.tsx'
import { Serving } from './Serving.tsx'

type Props = {
  /** At least one. */
  served: readonly Enrolment[]
  /** Who this tablet is can't be kept. */
  unkept: boolean
  shown: string | null
  show(device: string): void
  openOnce(database: string): Promise<Here>
  onEnrolled(identity: Identity, instead: string | null): void
  takeOff(device: string): void
  confirmPlace(device: string): void
}

/** An enrolled tablet: its lines to the office, and the page. Loaded after the enrolment form, which answers sooner so. */
export function Served({ served, unkept, openOnce, ...serving }: Props) {
  const [open, setOpen] = useState<Readonly<Record<string, { link: DeviceLink; unsafe: boolean }>>>({})
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
  return (
    <>
      {served.map(enrolment => (
        <Linked key={enrolment.identity.key} enrolment={enrolment} openOnce={openOnce} onLine={onLine} />
      ))}
      {lines.length === 0 ? <Moment /> : <Serving {...serving} lines={lines} enrol={enrol} />}
    </>
  )
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
