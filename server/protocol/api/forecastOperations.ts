import { forecastInputs, forecastQuery, forecasts } from '../forecast.ts'
import { pageRoles } from '../roles.ts'
import type { Operation } from './operation.ts'

const at = Date.parse('2026-11-03T15:14:00.000Z')
const flat = Array.from({ length: 120 }, (_, quarter) => (quarter >= 26 && quarter < 78 ? 1 / 52 : 0))
const county = {
  total: 40_120,
  low80: 37_900,
  high80: 42_300,
  low95: 36_800,
  high95: 43_600,
  came: 14_310,
  cameNow: 15_020,
  pace: 4,
  profile: flat,
  factor: { mean: 0.03, variance: 0.001, curveVariance: 0.003, curveCovariance: -0.001 },
  openingPace: { mean: 0.05, variance: 0.0004 },
}
const more = { 404: 'there is no such day or precinct, or no forecast yet' }

/** What is forecast, and from what. */
export const forecastOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/forecasts',
    id: 'forecasts',
    title: 'What is forecast of the county and of every precinct',
    words:
      'Made once a minute, and sooner where something material was said, from what the log held up to `position`; the same from the same beginning of the log at any later time. Forecasts are of people and supplies: no votes are counted or known.',
    group: 'days',
    who: pageRoles['/desk'],
    query: forecastQuery,
    answer: forecasts,
    more,
    example: {
      path: { day: '$DAY' },
      answer: {
        at,
        position: 5_123,
        county,
        precincts: [
          {
            code: 'gull-point',
            ready: null,
            turnout: {
              total: 640,
              low80: 560,
              high80: 725,
              low95: 520,
              high95: 775,
              came: { is: 212, at: at - 14 * 60_000 },
              pace: 4,
              logSd: 0.12,
            },
            line: {
              inLine: 9,
              said: { is: 8, at: at - 14 * 60_000 },
              waitNow: 6.8,
              chance: 0.01,
              worst: { at: at + 6_000_000, chance: 0.03 },
              bottleneck: 'check-in',
              load: 0.82,
              voterMinutes: 310,
              how: 'exact',
              serviceMinutes: 1.52,
              seenMinutes: 95,
            },
            ballots: {
              left: 560,
              countedAt: at - 74 * 60_000,
              wanted: 450,
              wanted90: 540,
              chance: 0.08,
              endsAt: null,
              neededBy: null,
              leaveBy: null,
              voterMinutes: 36.2,
              outFrom: at + 30_600_000,
              outUntil: at + 34_200_000,
              style: null,
            },
            faults: [],
          },
        ],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/precincts/:code/forecast',
    id: 'forecastInputs',
    title: 'What the forecast of one precinct is made from',
    words: 'Its page reckons the bands, and what a change would do, from these by the same function.',
    group: 'days',
    who: pageRoles['/desk'],
    query: forecastQuery,
    answer: forecastInputs,
    more,
    example: {
      path: { day: '$DAY', code: '$PRECINCT' },
      answer: {
        position: 5_123,
        day: { at },
        county,
        input: { code: 'gull-point' },
        together: [{ code: 'gull-point' }],
      },
    },
  },
]
