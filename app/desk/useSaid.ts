'use client'
import { useCallback, useEffect, useState } from 'react'

/** How long a word on what was just done stands, in milliseconds of wall time. */
const STANDS_MS = 6_000

/** A word on what was just done: it goes away by itself, so that nobody reads it as news later. */
export function useSaid(): [string, (words: string) => void] {
  // A new object each time: the same words said again stand as long again.
  const [said, setSaid] = useState({ words: '' })
  useEffect(() => {
    if (said.words === '') return
    const timer = setTimeout(() => setSaid({ words: '' }), STANDS_MS)
    return () => clearTimeout(timer)
  }, [said])
  return [said.words, useCallback((words: string) => setSaid({ words }), [])]
}
