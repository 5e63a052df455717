'use client'
import { useEffect, useRef, useState } from 'react'
import { createChime } from './chime.ts'
import { isSilenced, keepSilenced } from './keptHere.ts'

const openAudio = () => (typeof AudioContext === 'undefined' ? null : new AudioContext())

/**
 * Sounds once for each thing that newly calls for attention.
 *
 * @param allowed The county allows sound.
 * @param calls A name for each thing that calls now; one that was there already doesn't sound again.
 */
export function useChime(allowed: boolean, calls: readonly string[]): { silenced: boolean; turn(): void } {
  const [chime] = useState(() => createChime(openAudio))
  const [silenced, setSilenced] = useState(isSilenced)
  const known = useRef<ReadonlySet<string>>(new Set(calls))

  useEffect(() => {
    if (!allowed) return
    const touched = () => chime.touched()
    window.addEventListener('pointerdown', touched)
    window.addEventListener('keydown', touched)
    return () => {
      window.removeEventListener('pointerdown', touched)
      window.removeEventListener('keydown', touched)
    }
  }, [allowed, chime])

  useEffect(() => {
    const fresh = calls.some(call => !known.current.has(call))
    known.current = new Set(calls)
    if (fresh && allowed && !silenced) chime.ring()
  }, [calls, allowed, silenced, chime])

  return {
    silenced,
    turn() {
      setSilenced(!silenced)
      keepSilenced(!silenced)
    },
  }
}
