'use client'
import { useEffect, useReducer } from 'react'
import type { Beside } from '../live/deviceEnrol.ts'
import type { DeviceLink } from '../live/deviceLink.ts'
import type { Enrolment } from '../live/enrolments.ts'
import { toMend } from './keptAside.ts'
import type { Words } from './words/catalogue.ts'

/** One precinct that this tablet serves, with its own line to the office. */
export type Line = {
  enrolment: Enrolment
  link: DeviceLink
  /** Its browser storage keeps nothing over a reload. */
  unsafe: boolean
}

export const deviceOf = (line: Line) => line.enrolment.identity.device
export const isLost = (line: Line) => line.link.state().link === 'key-lost'

/** The precinct's name; its code until its plan came for the first time. */
export function nameOf(line: Line): string {
  return line.link.state().plan?.precinct.name ?? line.enrolment.identity.precinct
}

/** Draws anew whenever anything changes on any of the lines, shown or not. */
export function useLines(lines: readonly Line[]): void {
  const [, again] = useReducer((n: number) => n + 1, 0)
  useEffect(() => {
    const ends = lines.flatMap(({ link }) => [link.subscribe(again), link.outbox.subscribe(again)])
    // Something may have changed between the drawing and now.
    again()
    return () => {
      for (const end of ends) end()
    }
  }, [lines])
}

/** What the office is told when another code is redeemed; nothing where it accepts none of the others. */
export function besideOf(lines: readonly Line[]): Beside | undefined {
  const good = lines.filter(line => !isLost(line)).map(line => line.enrolment.identity)
  return good[0] && { day: good[0].day, precincts: good.map(identity => identity.precinct) }
}

/** Whether its precinct is at another place than all the others, and nobody has said yet that the tablet is there. */
export function asksPlace(line: Line, lines: readonly Line[]): boolean {
  const place = line.link.state().plan?.precinct.place
  if (place === undefined || line === lines[0] || line.enrolment.placeConfirmed || isLost(line)) return false
  const others = lines.flatMap(l =>
    l === line || isLost(l) ? [] : (l.link.state().plan?.precinct.place ?? []),
  )
  return others.length > 0 && !others.includes(place)
}

/** What is amiss with a precinct, in a few words each; empty: nothing that a worker must know. */
export function amissWith(line: Line, lines: readonly Line[], { several: W }: Words): string[] {
  const link = line.link.state()
  const box = line.link.outbox.state()
  const amiss: string[] = []
  if (link.link === 'key-lost') amiss.push(W.notAccepted)
  if (link.link === 'down') amiss.push(W.linkLost)
  if (link.link === 'too-old') amiss.push(W.tooOld)
  if (asksPlace(line, lines)) amiss.push(W.placeAsked)
  const mend = toMend(box)
  if (mend > 0) amiss.push(W.refused(mend))
  if (box.leftovers.length > 0) amiss.push(W.leftovers(box.leftovers.length))
  if (box.trouble?.what === 'storage' || link.keepTrouble) amiss.push(W.cannotSave)
  else if (box.trouble) amiss.push(W.stuck)
  return amiss
}
