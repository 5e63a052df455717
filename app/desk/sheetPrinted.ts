import { MINUTE } from '../../server/domain/time.ts'
import { clockWords } from '../live/clock.ts'

/** When the situation sheet was last printed in this browser, in day time: a reminder, nothing that counts. */

/** A sheet is due every half hour. */
const SHEET_EVERY = 30 * MINUTE
const keyOf = (day: string) => `sunup-sheet:${day}`

/** Notes that it is being printed. A browser that keeps nothing simply reminds nobody. */
export function notePrinted(
  day: string,
  at: number,
  kept: Pick<Storage, 'setItem'> | null = storage(),
): void {
  try {
    kept?.setItem(keyOf(day), String(Math.floor(at)))
  } catch {
    // Full or forbidden: there is no reminder then.
  }
}

export function printedAt(day: string, kept: Pick<Storage, 'getItem'> | null = storage()): number | null {
  try {
    const at = Number(kept?.getItem(keyOf(day)) ?? Number.NaN)
    return Number.isFinite(at) ? at : null
  } catch {
    return null
  }
}

/**
 * "Sheet printed 09:30, next due 10:00", once more than half an hour of the day has gone by; null: nothing to say.
 * A time that has not come yet is of an earlier run of the practice day.
 */
export function sheetReminder(printed: number | null, now: number, timeZone: string): string | null {
  if (printed === null || printed > now || now - printed <= SHEET_EVERY) return null
  return `Sheet printed ${clockWords(printed, timeZone)}, next due ${clockWords(printed + SHEET_EVERY, timeZone)}`
}

function storage(): Storage | null {
  try {
    return typeof localStorage === 'undefined' ? null : localStorage
  } catch {
    return null
  }
}
