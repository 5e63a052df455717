'use client'
import { useEffect, useState } from 'react'
import type { Theme } from './theme.ts'

const YEAR_SECONDS = 365 * 24 * 3_600

type SwitchWords = Readonly<Record<Theme, string>>
const ENGLISH: SwitchWords = { day: 'Day colours', night: 'Night colours' }

/** Switches day and night and remembers it in a cookie, so that the next page is painted right at once. */
export function ThemeSwitch({ className, words = ENGLISH }: { className?: string; words?: SwitchWords }) {
  const [shown, setShown] = useState<Theme | null>(null)
  useEffect(() => {
    const dark = matchMedia('(prefers-color-scheme: dark)')
    const read = () => {
      const chosen = document.documentElement.dataset.theme
      setShown(chosen === 'day' || chosen === 'night' ? chosen : dark.matches ? 'night' : 'day')
    }
    read()
    dark.addEventListener('change', read)
    return () => dark.removeEventListener('change', read)
  }, [])
  const next: Theme = shown === 'night' ? 'day' : 'night'
  function turn() {
    document.documentElement.dataset.theme = next
    // biome-ignore lint/suspicious/noDocumentCookie: the Cookie Store API is missing in browsers still in use
    document.cookie = `sunup-theme=${next}; path=/; max-age=${YEAR_SECONDS}; samesite=lax`
    setShown(next)
  }
  return (
    <button type="button" className={className} onClick={turn}>
      {words[next]}
    </button>
  )
}
