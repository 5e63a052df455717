import { type Row, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'

/** Shares that were rounded may sum to a little more than 1. */
const SHARE_TOLERANCE = 0.001

/**
 * Shares of a precinct's ballot styles sum to at most 1: told once, at the line that takes them beyond. Less than 1
 * is no fault: the rest of the voters get a ballot that nobody counts by itself.
 */
export function styleFaults(rows: readonly Row[], faults: FaultList): void {
  const sums = new Map<string, number>()
  for (const { line, value, raw } of rows) {
    const { precinct, share } = value
    if (typeof precinct !== 'string' || typeof share !== 'number' || !(share >= 0)) continue
    const before = sums.get(precinct) ?? 0
    const sum = before + share
    sums.set(precinct, sum)
    if (before <= 1 + SHARE_TOLERANCE && sum > 1 + SHARE_TOLERANCE)
      faults.add(
        tables.styles.file,
        line,
        'share',
        raw.share,
        `shares of ${precinct} that sum to at most 1, not ${sum.toFixed(4)}`,
      )
  }
}
