'use client'
import { useMemo, useRef, useState } from 'react'
import { useBoard, usePlan } from '../live/useBoard.ts'
import { looksLikeVoter } from './voterGuard.ts'

/**
 * Asks once more before words that look like a person's name, telephone or address are sent. Changed words are
 * looked at anew; words that were let pass are not asked about again.
 */
export function useVoterGuard(words: readonly string[]) {
  const plan = usePlan()
  const people = useBoard(s => s.people)
  // Names that are no voter's: of the county, its places and machines, of people at desks and on the road.
  const known = useMemo(
    () => [
      plan.county,
      ...plan.precincts.flatMap(p => [p.name, p.placeName]),
      ...[...Object.values(plan.tabulators), ...Object.values(plan.equipment)].flat().map(e => e.label),
      ...plan.rovers.map(r => r.name),
      ...Object.values(people),
    ],
    [plan, people],
  )
  const text = words.join('\n')
  const [asked, setAsked] = useState<string | null>(null)
  const allowed = useRef<string | null>(null)
  return {
    /** True while the person is asked about these very words. */
    asks: asked === text,
    /** True: not to be sent before the person says so. */
    stops(): boolean {
      if (allowed.current === text || !words.some(w => looksLikeVoter(w, known) !== null)) return false
      setAsked(text)
      return true
    },
    allow() {
      allowed.current = text
      setAsked(null)
    },
  }
}
