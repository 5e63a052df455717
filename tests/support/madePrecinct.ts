import type { PrecinctInput } from '../../server/domain/forecast/input.ts'
import type { NetworkStep } from '../../server/domain/readiness/network.ts'
import { HOUR, type Instant, MINUTE } from '../../server/domain/time.ts'
import type { Chance } from './chance.ts'
import { bent, OPENS, ruffled } from './madeCurve.ts'

export type MadePrecinct = {
  knownAt: (at: Instant) => PrecinctInput
  /** Everybody who came. */
  total: number
  /** When everything was ready to open. */
  readyAt: Instant
  /** In order of arrival; minutes waited until checked in. */
  voters: ReadonlyArray<{ at: Instant; waited: number }>
}

/** Something said: how it was at `at`, known to the office from `heardAt` on. */
type Said<T> = { at: Instant; heardAt: Instant; is: T }

const CHECK_IN_MINUTES = 1.5

const step = (code: string, after: string[], medianMinutes: number, p90Minutes: number): NetworkStep => ({
  code,
  phase: 'opening',
  after,
  medianMinutes,
  p90Minutes,
})

export const STEPS: readonly NetworkStep[] = [
  step('team', [], 5, 12),
  step('seals', ['team'], 8, 14),
  step('roster', ['team'], 20, 34),
  step('tables', ['team'], 25, 40),
  step('tabulator', ['seals'], 15, 26),
  step('tape', ['tabulator'], 8, 15),
]

/** One precinct's day. `planned`: the profile that the office goes by; `profile`: the county's as it is. */
export function madePrecinct(
  chance: Chance,
  county: {
    code: string
    factor: number
    profile: readonly number[]
    planned: readonly number[]
    openingPace: number
  },
): MadePrecinct {
  const expected = Math.round(chance.between(250, 900) * chance.gamma(0.5)) + 60
  const profile = ruffled(bent(county.profile, chance, 0.3), chance, 0.14)
  const coming = expected * county.factor * chance.gamma(0.16)
  const arrivals = arrivalsOf(chance, profile, coming)
  const opening = openingOf(chance, county.openingPace)
  const openedAt = Math.max(OPENS, opening.readyAt)
  const busiest = Math.max(...county.planned) * expected
  const planned = Math.max(1, Math.round((busiest / 15) * CHECK_IN_MINUTES * chance.between(1, 1.7)))
  const away = chance.next() < 0.2 && planned > 1 ? OPENS + chance.between(0.5, 6) * HOUR : 0
  const minutes = CHECK_IN_MINUTES * chance.gamma(0.2)
  const starts = served(chance, arrivals, openedAt, planned, away, minutes)
  const { counts, lines } = reportsOf(chance, arrivals, starts)
  const missed = { at: OPENS + 0.5 * HOUR, is: planned - 1 }
  const stations = away > 0 ? [missed, { at: away, is: planned }] : []
  return {
    total: arrivals.length,
    readyAt: opening.readyAt,
    voters: arrivals.map((at, i) => ({ at, waited: (starts[i]! - at) / MINUTE })),
    knownAt: at => ({
      code: county.code,
      expected,
      everyone: false,
      opening: at < openedAt ? { network: 0, done: heard(opening.done, at) } : null,
      openedAt: at >= openedAt ? openedAt : null,
      closed: false,
      silent: false,
      suspended: [],
      counts: counts.filter(c => c.heardAt <= at).map(({ at, is }) => ({ at, is })),
      lines: lines.filter(c => c.heardAt <= at).map(({ at, is }) => ({ at, is })),
      lineOf: null,
      stations: stationsOf(stations, planned, at),
      booths: 300,
      tabulators: { all: 0, working: 0, asOf: null },
      unscanned: true,
      sheets: 1,
      ballots: null,
      styles: [],
      tripMinutes: null,
    }),
  }
}

/** As said half an hour after opening, and when the one that was away is back. */
function stationsOf(said: ReadonlyArray<{ at: Instant; is: number }>, planned: number, at: Instant) {
  const history = said.filter(s => s.at <= at)
  const last = history.at(-1)
  return { planned, working: last?.is ?? planned, asOf: last?.at ?? null, history }
}

/** Poisson in each quarter hour at the quarter's own rate; sorted. */
function arrivalsOf(chance: Chance, profile: readonly number[], coming: number): Instant[] {
  const arrivals: Instant[] = []
  for (const [q, share] of profile.entries()) {
    const n = share > 0 ? chance.poisson(coming * share * chance.gamma(0.12)) : 0
    for (let i = 0; i < n; i++) arrivals.push((q + chance.next()) * 15 * MINUTE)
  }
  return arrivals.sort((a, b) => a - b)
}

/** First come, first served: when each voter's check-in begins. One station is away until an instant. */
function served(
  chance: Chance,
  arrivals: readonly Instant[],
  openedAt: Instant,
  stations: number,
  away: Instant,
  minutes: number,
): Instant[] {
  const free = Array.from({ length: stations }, (_, s) => (s === 0 ? Math.max(openedAt, away) : openedAt))
  return arrivals.map(at => {
    let next = 0
    for (let s = 1; s < stations; s++) if (free[s]! < free[next]!) next = s
    const start = Math.max(at, free[next]!)
    free[next] = start + minutes * MINUTE * chance.gamma(0.6)
    return start
  })
}

/** Steps take gamma times around the plan's median at the precinct's own pace; one in 25 hits trouble (Weibull). */
function openingOf(chance: Chance, countyPace: number): { readyAt: Instant; done: Array<Said<string>> } {
  const pace = countyPace * chance.gamma(0.18)
  const ends = new Map<string, Instant>()
  const done: Array<Said<string>> = []
  for (const { code, after, medianMinutes } of STEPS) {
    const start = Math.max(OPENS - HOUR, ...after.map(c => ends.get(c)!))
    const trouble = chance.next() < 0.04 ? 25 * (-Math.log(1 - chance.next())) ** (1 / 1.5) : 0
    const end = start + (medianMinutes * 1.06 * pace * chance.gamma(0.45) + trouble) * MINUTE
    ends.set(code, end)
    done.push({ at: end, heardAt: end + chance.between(0, 2) * MINUTE, is: code })
  }
  return { readyAt: Math.max(...ends.values()), done }
}

function heard(done: ReadonlyArray<Said<string>>, at: Instant): Record<string, Instant> {
  return Object.fromEntries(done.filter(s => s.heardAt <= at).map(s => [s.is, s.at]))
}

/** About once an hour, some left out, typed late, a third to the next five, one in 50 wrong; most with the line. */
function reportsOf(chance: Chance, arrivals: readonly Instant[], starts: readonly Instant[]) {
  const counts: Array<Said<number>> = []
  const lines: Array<Said<number>> = []
  for (let hour = 7.75 + chance.between(0, 0.5); hour <= 20; hour += 1 + 0.12 * chance.normal()) {
    const at = hour * HOUR
    if (chance.next() < 0.08) continue
    const heardAt = at + chance.between(0, 15) * MINUTE
    const is = upTo(starts, at)
    counts.push({ at, heardAt, is: misread(chance, chance.next() < 0.33 ? 5 * Math.round(is / 5) : is) })
    if (chance.next() > 0.75) continue
    const inLine = upTo(arrivals, at) - is
    lines.push({ at, heardAt, is: inLine > 8 && chance.next() < 0.6 ? 5 * Math.round(inLine / 5) : inLine })
  }
  return { counts, lines }
}

/** Now and then a digit is lost, doubled or swapped with its neighbour. */
function misread(chance: Chance, is: number): number {
  if (chance.next() > 0.02) return is
  const digits = [...String(is)]
  const at = Math.floor(chance.next() * digits.length)
  const how = chance.next()
  if (how < 0.4) digits.splice(at, 1)
  else if (how < 0.7) digits.splice(at, 0, digits[at]!)
  else digits.splice(at, 2, digits[at + 1] ?? '', digits[at]!)
  return Number(digits.join(''))
}

/** How many of the sorted instants are not after one. */
function upTo(sorted: readonly Instant[], at: Instant): number {
  let low = 0
  let high = sorted.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (sorted[middle]! <= at) low = middle + 1
    else high = middle
  }
  return low
}
