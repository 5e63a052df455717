'use client'
import { useEffect } from 'react'

/** Keys that type into a field are the field's own. */
function typing(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLElement &&
    (target.isContentEditable || ['INPUT', 'TEXTAREA', 'SELECT'].includes(target.tagName))
  )
}

/** One-letter keys of the desk. Inside a field only Escape counts; with Ctrl, Alt or Meta nothing does. */
export function useKeys(keys: Readonly<Record<string, () => void>>) {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return
      if (event.key !== 'Escape' && typing(event.target)) return
      if (document.querySelector('dialog[open]')) return
      const act = keys[event.key]
      if (!act) return
      event.preventDefault()
      act()
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [keys])
}
