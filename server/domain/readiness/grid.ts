import { normalBelow, Z90 } from '../numbers/normal.ts'

/**
 * Durations as chances on a grid of half minutes. Cell i holds the chance of about i half minutes (from i − ½ to
 * i + ½); what is longer than the grid's end is its last cell.
 */
export type Grid = Float64Array

/** Minutes of a cell. */
export const CELL = 0.5
/** Six hours: an opening that takes longer is late by any measure. */
const MOST_CELLS = 720
/**
 * Chance that is cut off at either end of a grid, put onto the cell that is then its first or last: far below what
 * the durations are known to, and most of the time that a convolution takes.
 */
const CUT = 1e-4

/** A duration that is lognormal: its median in minutes and the standard deviation of its logarithm, both > 0. */
export type Duration = { median: number; sigma: number }

/** From the plan's two figures: half of the precincts are faster than the first, one in ten slower than the second. */
export function durationOf(medianMinutes: number, p90Minutes: number): Duration {
  const sigma = Math.log(Math.max(p90Minutes, medianMinutes) / medianMinutes) / Z90
  return { median: medianMinutes, sigma: Math.max(0.01, sigma) }
}

/** P(duration > minutes), 0–1; exact in the far tail, too. */
export function longerThan({ median, sigma }: Duration, minutes: number): number {
  return minutes <= 0 ? 1 : normalBelow(-Math.log(minutes / median) / sigma)
}

/** No time at all. */
export const AT_ONCE: Grid = Float64Array.of(1)

/**
 * What remains of a duration that has already lasted `elapsed` minutes (0: the whole): conditioned on lasting
 * longer than that. Where that was next to impossible, half of what has gone by is taken to be still needed.
 */
export function remaining(duration: Duration, elapsed: number): Grid {
  const went = Math.max(0, elapsed)
  const beyond = longerThan(duration, went)
  if (!(beyond > 1e-200)) return exactly(went / 2)
  const grid = new Float64Array(MOST_CELLS)
  let cells = 0
  let before = 1
  while (cells < MOST_CELLS && before > CUT) {
    const left = longerThan(duration, went + (cells + 0.5) * CELL) / beyond
    grid[cells++] = Math.max(0, before - left)
    before = left
  }
  grid[cells - 1]! += before
  return grid.subarray(0, cells)
}

/** Exactly so many minutes (≥ 0), to the nearest cell. */
export function exactly(minutes: number): Grid {
  const cells = Math.min(MOST_CELLS - 1, Math.max(0, Math.round(minutes / CELL)))
  const grid = new Float64Array(cells + 1)
  grid[cells] = 1
  return grid
}

/** One after the other: the chances of a sum of two independent durations (convolution). */
export function sumOf(a: Grid, b: Grid): Grid {
  if (a === AT_ONCE || b === AT_ONCE) return a === AT_ONCE ? b : a
  const [short, long] = a.length < b.length ? [a, b] : [b, a]
  const sum = new Float64Array(short.length + long.length - 1)
  const from = firstOf(long)
  let i = firstOf(short)
  for (; i + 3 < short.length; i += 4) addFour(sum, i, short, long, from)
  for (; i < short.length; i++) {
    const chance = short[i]!
    for (let j = from; j < long.length; j++) sum[i + j]! += chance * long[j]!
  }
  return trimmed(sum)
}

/**
 * The later of two: the product of their distribution functions, as if they were independent. They aren't: paths
 * share steps, so their times rise together (they are associated), and then P(both by t) ≥ P(one by t) · P(other
 * by t) (J. D. Esary, F. Proschan, D. W. Walkup, "Association of random variables, with applications", Annals of
 * Mathematical Statistics 38, 1967). So this errs on the safe side: it never promises ready sooner than is so.
 */
export function laterOf(a: Grid, b: Grid): Grid {
  if (a === AT_ONCE || b === AT_ONCE) return a === AT_ONCE ? b : a
  const length = Math.max(a.length, b.length)
  const later = new Float64Array(length)
  let byA = 0
  let byB = 0
  let before = 0
  for (let i = 0; i < length; i++) {
    if (i < a.length) byA += a[i]!
    if (i < b.length) byB += b[i]!
    const by = Math.min(1, byA) * Math.min(1, byB)
    later[i] = Math.max(0, by - before)
    before = by
  }
  return trimmed(later)
}

/** P(duration ≤ minutes), 0–1; straight between the middles of cells. */
export function chanceBy(grid: Grid, minutes: number): number {
  if (minutes < 0) return 0
  if (grid.length === 1) return 1
  const cells = minutes / CELL + 0.5
  const whole = Math.min(grid.length, Math.floor(cells))
  let sum = 0
  for (let i = 0; i < whole; i++) sum += grid[i]!
  if (whole < grid.length) sum += grid[whole]! * (cells - whole)
  return Math.min(1, sum)
}

/** Minutes by which it is over with this chance (0–1): the inverse of chanceBy. */
export function minutesBy(grid: Grid, part: number): number {
  if (grid.length === 1) return 0
  let sum = 0
  for (let i = 0; i < grid.length; i++) {
    const chance = grid[i]!
    if (chance > 0 && sum + chance >= part - 1e-12) {
      const within = (part - sum) / chance
      return Math.max(0, (i - 0.5 + Math.min(1, Math.max(0, within))) * CELL)
    }
    sum += chance
  }
  return (grid.length - 1) * CELL
}

/** Mean in minutes. */
export function meanOf(grid: Grid): number {
  let sum = 0
  for (let i = 1; i < grid.length; i++) sum += i * grid[i]!
  return sum * CELL
}

/** Four cells of the short one in one pass over the long one: a third of the time of a pass for each. */
function addFour(sum: Float64Array, i: number, short: Grid, long: Grid, from: number): void {
  const [c0, c1, c2, c3] = [short[i]!, short[i + 1]!, short[i + 2]!, short[i + 3]!]
  const n = long.length
  let [l1, l2, l3] = [0, 0, 0]
  for (let j = from; j < n; j++) {
    const l0 = long[j]!
    sum[i + j]! += c0 * l0 + c1 * l1 + c2 * l2 + c3 * l3
    l3 = l2
    l2 = l1
    l1 = l0
  }
  sum[i + n]! += c1 * l1 + c2 * l2 + c3 * l3
  sum[i + n + 1]! += c2 * l1 + c3 * l2
  sum[i + n + 2]! += c3 * l1
}

/** The first cell that holds anything. */
function firstOf(grid: Grid): number {
  let first = 0
  while (first < grid.length - 1 && grid[first] === 0) first++
  return first
}

/** Without the first and last cells that hold next to nothing; what they held goes onto the next that stays. In place. */
function trimmed(grid: Float64Array): Grid {
  let end = Math.min(grid.length, MOST_CELLS)
  let beyond = 0
  for (let i = grid.length - 1; i >= end; i--) beyond += grid[i]!
  while (end > 1 && beyond + grid[end - 1]! <= CUT) beyond += grid[--end]!
  grid[end - 1]! += beyond
  let before = 0
  let first = 0
  while (first < end - 1 && before + grid[first]! <= CUT) {
    before += grid[first]!
    grid[first++] = 0
  }
  grid[first]! += before
  return grid.subarray(0, end)
}
