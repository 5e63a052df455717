import type { DayInput, PrecinctInput } from '../../server/domain/forecast/input.ts'
import { policy } from '../../server/domain/plan/policy.ts'
import { HOUR, type Instant } from '../../server/domain/time.ts'

/** An instant of the made-up day of forecasts, whose midnight is 0: `clock(9.5)` is half past nine. */
export function clock(hours: number): Instant {
  return Math.round(hours * HOUR)
}

/** Polls from 7:00 to 20:00, voters come evenly, policy as it stands. */
export function aDayInput(hours: number, changes: Partial<DayInput> = {}): DayInput {
  return {
    at: clock(hours),
    midnight: 0,
    reportAt: clock(6),
    opensAt: clock(7),
    closesAt: clock(20),
    profile: Array.from({ length: 120 }, (_, q) => (q >= 28 && q < 80 ? 1 / 52 : 0)),
    policy: policy.parse({}),
    networks: [],
    ...changes,
  }
}

/** A precinct that opened on time and expects 1,300 voters, a hundred an hour; three stations, no count yet. */
export function aPrecinctInput(changes: Partial<PrecinctInput> = {}): PrecinctInput {
  return {
    code: 'M-1',
    expected: 1_300,
    everyone: false,
    opening: null,
    openedAt: clock(7),
    closed: false,
    silent: false,
    suspended: [],
    counts: [],
    lines: [],
    lineOf: null,
    stations: stationsOf(3),
    booths: 20,
    tabulators: { all: 1, working: 1, asOf: null },
    unscanned: false,
    sheets: 1,
    ballots: null,
    styles: [],
    tripMinutes: null,
    ...changes,
  }
}

/** Check-in stations: three planned, so many working since before the polls opened. */
export function stationsOf(working: number, planned = 3): PrecinctInput['stations'] {
  const said = working === planned ? [] : [{ at: clock(6), is: working }]
  return { planned, working, asOf: said[0]?.at ?? null, history: said }
}

/** Running counts at hours: `counted([8, 100], [9, 200])`. */
export function counted(...said: ReadonlyArray<readonly [hours: number, is: number]>) {
  return said.map(([hours, is]) => ({ at: clock(hours), is }))
}
