'use client'
import { useCallback, useSyncExternalStore } from 'react'

/** The screen is in the address (`#flow/tape/T011`), so that the phone's own back button works. Empty: home. */
export function useScreen(): [screen: string, go: (screen: string) => void] {
  const screen = useSyncExternalStore(
    listen,
    () => location.hash.slice(1),
    () => '',
  )
  const go = useCallback((next: string) => {
    if (location.hash.slice(1) === next) return
    history.pushState(null, '', next === '' ? location.pathname : `#${next}`)
    window.dispatchEvent(new PopStateEvent('popstate'))
  }, [])
  return [screen, go]
}

function listen(changed: () => void): () => void {
  window.addEventListener('popstate', changed)
  window.addEventListener('hashchange', changed)
  return () => {
    window.removeEventListener('popstate', changed)
    window.removeEventListener('hashchange', changed)
  }
}
