import { later, minutesBetween } from './fromFeedHours.ts'
import type { Step } from './plan.ts'

/**
 * The generic day of a precinct, for a plan that nobody has written steps and a profile for. The order of the
 * steps is common practice in many states; every minute and every share is an assumption of ours, to be
 * replaced by the county's own.
 */

const step = (
  phase: Step['phase'],
  code: string,
  title: string,
  after: string[],
  [medianMinutes, p90Minutes]: [number, number],
  byTwo: boolean,
  completedBy: Step['completedBy'] = 'step',
): Step => ({ code, phase, title, after, medianMinutes, p90Minutes, byTwo, completedBy })

export const standardSteps: readonly Step[] = [
  step('opening', 'team', 'Team complete and oath taken', [], [10, 18], false, 'team'),
  step('opening', 'ballots', 'Ballots and packs counted', ['team'], [15, 24], true),
  step('opening', 'seals', 'Seals compared with the record', ['team'], [8, 13], true, 'seals'),
  step('opening', 'box', 'Ballot box seen empty and locked', ['seals'], [5, 8], true),
  step('opening', 'tabulator', 'Tabulator seated, intake flap open, powered', ['box'], [8, 14], false),
  step('opening', 'tape', 'Opening tape printed and verified', ['tabulator'], [7, 12], true, 'tape'),
  step('opening', 'door', 'Memory-device door sealed, keys with the lead', ['tape'], [4, 7], true),
  step('opening', 'check-in', 'Check-in ready', ['team'], [14, 22], false),
  step('opening', 'room', 'Booths, signs and accessible station ready', ['team'], [25, 38], false),
  step('closing', 'last-voter', 'Last voter served', [], [6, 20], false),
  step(
    'closing',
    'closing-tape',
    'Tabulator closed, closing tape signed',
    ['last-voter'],
    [10, 16],
    true,
    'tape',
  ),
  step('closing', 'reconcile', 'Counts reconciled', ['closing-tape'], [18, 32], true),
  step('closing', 'memory', 'Memory device taken and sealed', ['closing-tape'], [6, 10], true),
  step('closing', 'pack', 'Materials packed for the return', ['reconcile', 'memory'], [15, 25], false),
]

/** Containers that carry a seal, and those that are sealed only in the evening. */
export const standardContainers: ReadonlyArray<{ container: string; phase?: 'closing' }> = [
  { container: 'tabulator-door' },
  { container: 'memory-device' },
  { container: 'ballot-box' },
  { container: 'emergency-slot' },
  { container: 'return-bag', phase: 'closing' },
]

/** Voters by twenty-sixths of the legal hours, in thousandths: a morning peak, a quiet noon, an after-work peak. */
const CURVE = [
  52, 51, 50, 48, 45, 42, 39, 36, 34, 33, 32, 33, 35, 35, 33, 31, 30, 30, 32, 35, 40, 45, 49, 48, 40, 22,
]

/** The arrival profile in half hours of the legal hours (HH:MM); shares to four places, which sum to 1. */
export function standardProfile(
  open: string,
  close: string,
): Array<{ from: string; to: string; share: number }> {
  const length = minutesBetween(open, close)
  const total = CURVE.reduce((a, b) => a + b, 0)
  const cumulative = (minutes: number): number => {
    const at = (minutes / length) * CURVE.length
    const whole = Math.min(CURVE.length, Math.floor(at))
    const before = CURVE.slice(0, whole).reduce((a, b) => a + b, 0)
    return (before + (at - whole) * (CURVE[whole] ?? 0)) / total
  }
  const rows: Array<{ from: string; to: string; share: number }> = []
  let given = 0
  for (let from = 0; from < length; from += 30) {
    const to = Math.min(length, from + 30)
    const upTo = to === length ? 10_000 : Math.round(cumulative(to) * 10_000)
    rows.push({ from: later(open, from), to: later(open, to), share: (upTo - given) / 10_000 })
    given = upTo
  }
  return rows
}
