'use client'
import { useCallback, useSyncExternalStore } from 'react'

/** The screen is in the address (`#flow/tape/T011`), so that the phone's own back button works. Empty: home. */
export function useScreen(): [screen: string, go: (screen: string, how?: 'replace') => void] {
  const screen = useSyncExternalStore(
    listen,
    () => location.hash.slice(1),
    () => '',
  )
  const go = useCallback((next: string, how?: 'replace') => {
    if (location.hash.slice(1) === next) return
    const address = next === '' ? location.pathname : `#${next}`
    // Replaced: the phone's back button doesn't lead there again.
    if (how === 'replace') history.replaceState(null, '', address)
    else history.pushState(null, '', address)
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
