import type { Forecasts, PrecinctForecast } from '../../../server/domain/forecast/forecast.ts'
import type { Instant } from '../../../server/domain/time.ts'
import { at } from '../../support/given.ts'

/** Forecasts as tests want them: every figure said, nothing worked out. */
export type Foretold = Partial<Omit<PrecinctForecast, 'code'>>

export function foretold(time: string | Instant, precincts: Readonly<Record<string, Foretold>>): Forecasts {
  return {
    at: typeof time === 'string' ? at(time) : time,
    position: 1,
    county: {
      total: 0,
      low80: 0,
      high80: 0,
      low95: 0,
      high95: 0,
      came: 0,
      cameNow: 0,
      pace: null,
      profile: [],
      factor: { mean: 0, variance: 0 } as Forecasts['county']['factor'],
      openingPace: {} as Forecasts['county']['openingPace'],
    },
    precincts: new Map(
      Object.entries(precincts).map(([code, said]) => [
        code,
        { code, ready: null, turnout: null, line: null, ballots: null, faults: [], ...said },
      ]),
    ),
  }
}

export const ready = (
  late: number,
  more: Partial<NonNullable<PrecinctForecast['ready']>> = {},
): Foretold => ({
  ready: {
    done: 2,
    of: 7,
    chance: 1 - late,
    by10: at('06:25'),
    by50: at('06:41'),
    by90: at('06:58'),
    holding: 'tabulator',
    helpBy: at('06:18'),
    latePeople: 18.3,
    lateVoterMinutes: 120.4,
    ...more,
  },
})

export const line = (
  chance: number,
  more: Partial<NonNullable<PrecinctForecast['line']>> = {},
): Foretold => ({
  line: {
    inLine: 18.4,
    said: { is: 22, at: at('08:50') },
    waitNow: 9.2,
    chance,
    worst: { at: at('10:15'), chance },
    bottleneck: 'check-in',
    load: 1.124,
    voterMinutes: 640.2,
    how: 'exact',
    serviceMinutes: 1.62,
    seenMinutes: 80,
    ...more,
  },
})

export const ballots = (
  chance: number,
  more: Partial<NonNullable<PrecinctForecast['ballots']>> = {},
): Foretold => ({
  ballots: {
    left: 312.7,
    countedAt: at('08:50'),
    wanted: 340.2,
    wanted90: 395,
    chance,
    endsAt: at('18:22'),
    neededBy: at('17:05'),
    leaveBy: at('16:40'),
    voterMinutes: 84.2,
    outFrom: at('17:50'),
    outUntil: at('18:50'),
    style: null,
    ...more,
  },
})

export const turnout = (
  came: { is: number; at: Instant } | null,
  coming: readonly number[] = [],
): Foretold => ({
  turnout: {
    total: 900,
    low80: 850,
    high80: 950,
    low95: 820,
    high95: 980,
    came,
    pace: null,
    coming,
    logSd: 0.1,
  },
})
