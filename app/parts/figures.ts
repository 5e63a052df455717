import type { BoardRow, Figure } from '../../server/domain/day/row.ts'
import type { Instant } from '../../server/domain/time.ts'
import { MINUTE } from '../../server/domain/time.ts'

const whole = new Intl.NumberFormat('en-US')

/** A count with thousands apart: 14,310. */
export const countWords = (n: number): string => whole.format(Math.round(n))

/** A signed number with a true minus sign. */
export function signed(n: number, digits = 0): string {
  const text = Math.abs(n).toFixed(digits)
  return Number(text) === 0 ? `±${text}` : `${n < 0 ? '−' : '+'}${text}`
}

/** Checked in over expected at the count's own instant, less one; null where either is missing or tiny. */
export function paceOf(row: BoardRow): number | null {
  if (row.checkedIn === null || row.expectedThen === null || row.expectedThen < 5) return null
  return row.checkedIn.is / row.expectedThen - 1
}

export function paceWords(pace: number): string {
  return `${signed(pace * 100)}%`
}

/** Whether a figure is older than counts are expected to be. */
export function isStale(figure: Figure, now: Instant, countEveryMinutes: number): boolean {
  return now - figure.asOf > countEveryMinutes * MINUTE
}
