import { standingWords } from '../../server/domain/calls/words.ts'
import type { BoardRow } from '../../server/domain/day/row.ts'
import type { Standing } from '../../server/domain/day/state.ts'

/** What a precinct's sign shows: its standing, or what matters more while it is open. */
export type Sign = Standing | 'tabulator-down' | 'slot' | 'silent' | 'suspended'

const SIGN_WORDS: Record<Sign, string> = {
  ...standingWords,
  'tabulator-down': 'tabulator down',
  slot: 'emergency slot in use',
  silent: 'silent',
  suspended: 'suspended',
}

export const signWords = (sign: Sign): string => SIGN_WORDS[sign]

/** The sign of a row. Silence comes first: what was last heard may no longer be so. */
export function signOf(row: BoardRow, tabulators: readonly string[]): Sign {
  if (row.silentSince !== null) return 'silent'
  if (row.suspended) return 'suspended'
  if (row.standing === 'open' || row.standing === 'closing') {
    if (row.slotOpen) return 'slot'
    if (row.down.some(tag => tabulators.includes(tag))) return 'tabulator-down'
  }
  return row.standing
}

/** A drawn sign, 12 × 12, in the colour of the text beside it. Never without its word. */
export function Glyph({ sign }: { sign: Sign }) {
  return (
    <svg
      width="12"
      height="12"
      viewBox="0 0 12 12"
      aria-hidden="true"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.5"
    >
      {SHAPES[sign]}
    </svg>
  )
}

const SHAPES: Record<Sign, React.ReactNode> = {
  'not-heard': <path d="M1 9h10" strokeDasharray="2 2" />,
  'setting-up': <path d="M1 9.5h10M2.2 9a3.8 3.8 0 0 1 7.6 0" />,
  ready: <path d="M1 9.5h10M2.2 9a3.8 3.8 0 0 1 7.6 0z" fill="currentColor" />,
  open: <circle cx="6" cy="6" r="4.2" fill="currentColor" />,
  closing: <path d="M1 2.5h10M2.2 3a3.8 3.8 0 0 0 7.6 0z" fill="currentColor" />,
  closed: <circle cx="6" cy="6" r="4" />,
  returning: <path d="M1 6h9M6.5 2.5l3.5 3.5l-3.5 3.5" />,
  received: <path d="M1.5 6.5l3 3l6 -7" />,
  'tabulator-down': <path d="M6 6V1.8a4.2 4.2 0 1 0 4.2 4.2z" fill="currentColor" />,
  slot: <path d="M1 2.5h10M1 6h10M1 9.5h10" />,
  silent: <circle cx="6" cy="6" r="4.4" strokeDasharray="2 2.6" />,
  suspended: <path d="M4 2v8M8 2v8" strokeWidth="2" />,
}
