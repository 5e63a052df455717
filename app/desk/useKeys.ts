'use client'
import { useEffect } from 'react'

/** Keys that type into a field are the field's own. */
function typing(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable || ['INPUT', 'TEXTAREA', 'SELECT'].includes(target.tagName))
  )
}

/**
 * One-letter keys of the desk. Inside a field only Escape counts; with Ctrl, Alt or Meta nothing does.
 * Capitals count as their small letters. A key held down acts once, unless `held` names it.
 */
export function useKeys(keys: Readonly<Record<string, () => void>>, held: readonly string[] = []) {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return
      if (event.key !== 'Escape' && typing(event.target)) return
      if (document.querySelector('dialog[open]')) return
      const key = event.key.length === 1 ? event.key.toLowerCase() : event.key
      const act = keys[key]
      if (!act) return
      event.preventDefault()
      if (event.repeat && !held.includes(key)) return
      act()
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [keys, held])
}
