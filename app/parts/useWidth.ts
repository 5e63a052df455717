'use client'
import { useLayoutEffect, useRef, useState } from 'react'

/** The width in whole pixels of the element that gets the ref; `initial` until it is measured. */
export function useWidth<E extends Element>(initial: number) {
  const ref = useRef<E>(null)
  const [width, setWidth] = useState(initial)
  useLayoutEffect(() => {
    const element = ref.current
    if (!element || typeof ResizeObserver === 'undefined') return
    const observer = new ResizeObserver(entries => {
      const measured = Math.floor(entries[0]?.contentRect.width ?? 0)
      if (measured > 0) setWidth(measured)
    })
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return [ref, width] as const
}
