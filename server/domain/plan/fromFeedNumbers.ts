import { minutesBetween } from './fromFeedHours.ts'

/**
 * Figures that no feed gives, so that a plan can be made at all. All are assumptions of ours, the same for every
 * precinct: they say nothing of any county and are there to be replaced.
 */
export const assumed = {
  registered: 1_200,
  /** Voters on the day: two in five of those registered. */
  expected: 480,
  /** Ballots above the voters expected (the quarter of Texas Election Code 51.005, there above the last turnout). */
  ballotsOver: 0.25,
  /** Ballots come in packs of this many. */
  pack: 50,
  votersPerBooth: 75,
  /** Workers besides one at each check-in station. */
  workersBeside: 3,
  workersAtLeast: 5,
  reportBefore: 75,
  returnAfter: 180,
  precinctsPerRover: 12,
} as const

export type Figures = {
  registered: number
  expected: number
  ballots: number
  stations: number
  booths: number
  workers: number
}

/** Most that a plan takes. */
const MOST = { stations: 60, booths: 400, workers: 100, count: 1_000_000 } as const

/**
 * Figures of a precinct for its expected voters. Stations after the published queue stop rule: voters per
 * station at most half of (minutes open ÷ minutes per voter).
 */
export function figuresFor(
  expected: number,
  registered: number,
  hours: { open: string; close: string },
  minutesPerVoter: number,
): Figures {
  const perStation = Math.max(1, minutesBetween(hours.open, hours.close) / minutesPerVoter / 2)
  const voters = Math.min(MOST.count, expected)
  const stations = Math.min(MOST.stations, Math.max(1, Math.ceil(voters / perStation)))
  const packs = Math.ceil((voters * (1 + assumed.ballotsOver)) / assumed.pack)
  return {
    registered,
    expected: voters,
    ballots: Math.min(MOST.count, Math.max(1, packs) * assumed.pack),
    stations,
    booths: Math.min(MOST.booths, Math.max(1, Math.ceil(voters / assumed.votersPerBooth))),
    workers: Math.min(MOST.workers, Math.max(assumed.workersAtLeast, stations + assumed.workersBeside)),
  }
}
