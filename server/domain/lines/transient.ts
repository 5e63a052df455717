import { poissonBelow } from '../numbers/counts.ts'

/**
 * A line in front of a number of like stations, exactly: how many people are there, as chances, and how these
 * move with time: M(t)/M/c(t)/K. People come at random (a Poisson stream whose rate holds for a stretch), each
 * station takes an exponential time, and nobody leaves unserved.
 *
 * The chances after a stretch are worked out by uniformisation (A. Jensen, 1953; W. K. Grassmann, "Transient
 * solutions in Markovian queueing systems", Computers & Operations Research 4, 1977): a Poisson number of steps of
 * one discrete chain. What is cut off is under 1e-12. Checked against tests/reference/transient_queue.csv (matrix
 * exponential, SciPy) and, in the limit, mmc.csv (GNU Octave's queueing package).
 */

/** Chance of n people there (waiting or being served), n = 0 … K; sums to 1. */
export type Line = Float64Array

export type Stretch = {
  minutes: number
  /** People who come per minute, ≥ 0. */
  arriving: number
  /** Stations that work, a whole number ≥ 0. */
  stations: number
  /** People a station that works takes per minute, > 0. */
  perStation: number
}

/** Chances below this are left out of a step: what is lost over a stretch stays under 1e-12. */
const EXACT = 1e-13

/** A line of n people, in a room for `most`; of a fraction, the whole numbers beside it in proportion. */
export function around(n: number, most: number): Line {
  const line = new Float64Array(most + 1)
  const held = Math.min(most, Math.max(0, n))
  const below = Math.floor(held)
  line[below] = below + 1 - held
  if (held > below) line[below + 1] = held - below
  return line
}

/**
 * The line at the end of a stretch. Who finds the room full (K people) is lost: K is chosen so that nobody is.
 * @param cut chances below this are left out of a step, 0–1: larger is quicker and less exact
 */
export function onwards(
  line: Line,
  { minutes, arriving, stations, perStation }: Stretch,
  cut: number = EXACT,
): Line {
  const last = line.length - 1
  const rate = arriving + stations * perStation
  if (!(minutes > 0) || rate <= 0) return line.slice()
  const up = arriving / rate
  const down = perStation / rate
  const weights = stepsOf(rate * minutes, cut / 10)
  const steps = weights.from + weights.chances.length - 1
  const result = new Float64Array(last + 1)
  const weightOf = (k: number) => (k < weights.from ? 0 : weights.chances[k - weights.from]!)
  // Only where somebody may be is worked on: a step reaches one further on each side.
  let now = trimmed({ chances: line.slice(), low: 0, high: last }, cut)
  let next: Ranged = { chances: new Float64Array(last + 1), low: 0, high: -1 }
  const first = weightOf(0)
  if (first > 0) for (let n = now.low; n <= now.high; n++) result[n] = first * now.chances[n]!
  for (let k = 1; k <= steps; k++) {
    const from = Math.max(0, now.low - 1)
    const to = Math.min(last, now.high + 1)
    next.chances.fill(0, next.low, next.high + 1)
    step(now.chances, next.chances, from, to, stations, up, down, result, weightOf(k))
    next.low = from
    next.high = to
    const spare = now
    now = trimmed(next, cut)
    next = spare
  }
  let sum = 0
  for (let n = 0; n <= last; n++) sum += result[n]!
  for (let n = 0; n <= last; n++) result[n] = result[n]! / sum
  return result
}

/** One step of the chain: somebody comes (`up`), or one of the stations takes its next (`down` each). It is added to `sum`. */
function step(
  was: Line,
  is: Line,
  from: number,
  to: number,
  stations: number,
  up: number,
  down: number,
  sum: Line,
  weight: number,
): void {
  const last = was.length - 1
  const all = stations * down
  const inner = Math.min(to, last - 1)
  for (let n = from; n <= to; n++) {
    if (n >= stations && n > 0 && n <= inner) {
      for (; n <= inner; n++) {
        const there = was[n - 1]! * up + was[n + 1]! * all
        is[n] = there
        sum[n] = sum[n]! + weight * there
      }
      n--
      continue
    }
    let chance = was[n]! * Math.max(0, stations - n) * down
    if (n > 0) chance += was[n - 1]! * up
    chance += n < last ? was[n + 1]! * Math.min(n + 1, stations) * down : was[n]! * up
    is[n] = chance
    sum[n] = sum[n]! + weight * chance
  }
}

type Ranged = { chances: Float64Array; low: number; high: number }

/** Without the ends where hardly anybody is. */
function trimmed(line: Ranged, cut: number): Ranged {
  while (line.low < line.high && line.chances[line.low]! < cut) line.chances[line.low++] = 0
  while (line.high > line.low && line.chances[line.high]! < cut) line.chances[line.high--] = 0
  return line
}

/** Chances of k = from, from + 1, … steps in a stretch with `mean` of them on average, none less likely than `unlikely`. */
function stepsOf(mean: number, unlikely: number): { from: number; chances: Float64Array } {
  const below = poissonBelow(mean, Math.ceil(mean + 8 * Math.sqrt(mean) + 12))
  const chances = below.map((chance, k) => chance - (k > 0 ? below[k - 1]! : 0))
  let from = 0
  let to = chances.length - 1
  while (from < mean && from < to && chances[from]! < unlikely) from++
  while (to > mean && to > from && chances[to]! < unlikely) to--
  return { from, chances: chances.subarray(from, to + 1) }
}

/** People who wait on average: those there whom no station serves. */
export function meanWaiting(line: Line, stations: number): number {
  let sum = 0
  for (let n = stations + 1; n < line.length; n++) sum += (n - stations) * line[n]!
  return sum
}

/** Chance that every station is busy, so that who comes now waits. */
export function allBusy(line: Line, stations: number): number {
  let sum = 0
  for (let n = stations; n < line.length; n++) sum += line[n]!
  return Math.min(1, sum)
}

/** Least number of people there with at least this chance (0–1) of no more. */
export function quantileThere(line: Line, part: number): number {
  let sum = 0
  for (let n = 0; n < line.length; n++) {
    sum += line[n]!
    if (sum >= part - 1e-12) return n
  }
  return line.length - 1
}

/**
 * Chance that somebody who comes now waits longer than a time in which busy stations would take `served` people on
 * average. With n there he waits until n − stations + 1 have left, and while he waits all stations are busy, so
 * that those who leave are a Poisson count: P(wait > t) = Σ P(n there) · P(at most n − stations leave in t).
 */
export function waitsLonger(line: Line, stations: number, served: number): number {
  let most = line.length - 1
  while (most > 0 && line[most] === 0) most--
  if (most < stations) return 0
  const below = poissonBelow(served, most - stations)
  let sum = 0
  for (let n = stations; n <= most; n++) sum += line[n]! * below[n - stations]!
  return Math.min(1, sum)
}
