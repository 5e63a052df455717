'use client'
import { useEffect, useRef } from 'react'
import { useWords } from '../words/WordsContext.tsx'

/** Opens the guide from any screen, and closes it again. */
export function GuideButton({ open, toggle }: { open: boolean; toggle(): void }) {
  const { cards: W } = useWords()
  const button = useRef<HTMLButtonElement>(null)
  const wasOpen = useRef(open)
  // What had the focus went with the guide.
  useEffect(() => {
    if (wasOpen.current && !open && document.activeElement === document.body) button.current?.focus()
    wasOpen.current = open
  }, [open])
  return (
    <button type="button" ref={button} className="pp-guide" aria-expanded={open} onClick={toggle}>
      {W.guide}
    </button>
  )
}
