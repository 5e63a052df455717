'use client'
import { useState } from 'react'
import { HOME as W } from './words.ts'

const YEAR_SECONDS = 365 * 24 * 60 * 60

/** Light or dark screen; without a choice the device's own preference holds. */
export function LightSwitch() {
  const [theme, setTheme] = useState(() =>
    typeof document === 'undefined' ? undefined : document.documentElement.dataset.theme,
  )
  const choose = (next: 'day' | 'night') => {
    document.documentElement.dataset.theme = next
    // biome-ignore lint/suspicious/noDocumentCookie: the cookie store is not in every browser that stands in a precinct
    document.cookie = `sunup-theme=${next}; path=/; max-age=${YEAR_SECONDS}; samesite=lax`
    setTheme(next)
  }
  return (
    <div className="pp-light">
      {(['day', 'night'] as const).map(light => (
        <button
          key={light}
          type="button"
          className="pp-quiet"
          aria-pressed={theme === light}
          onClick={() => choose(light)}
        >
          {W.light[light]}
        </button>
      ))}
    </div>
  )
}
