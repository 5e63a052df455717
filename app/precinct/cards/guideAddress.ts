import { useState } from 'react'

/** The guide is at `#guide`, a card at `#guide/CODE`, over whatever screen it was opened from. */
const GUIDE = 'guide'

export function isGuide(screen: string): boolean {
  return screen === GUIDE || screen.startsWith(`${GUIDE}/`)
}

/** The code of the card in the address; null: the list. */
export function cardOf(screen: string): string | null {
  const code = screen.slice(GUIDE.length + 1)
  if (code === '') return null
  try {
    return decodeURIComponent(code)
  } catch {
    return code
  }
}

export function guideScreen(code?: string): string {
  return code === undefined ? GUIDE : `${GUIDE}/${encodeURIComponent(code)}`
}

/** The screen beneath the guide: it stays as it is while the guide is open. The start, where the page began there. */
export function useBeneath(screen: string): string {
  const open = isGuide(screen)
  const [beneath, setBeneath] = useState(open ? '' : screen)
  if (!open && screen !== beneath) setBeneath(screen)
  return open ? beneath : screen
}
