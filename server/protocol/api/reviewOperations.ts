import { snapshot } from '../answers.ts'
import { dayMarks, reviewDays, stateQuery } from '../review.ts'
import type { Operation } from './operation.ts'

const reviewers = ['supervisor', 'admin'] as const
const sampleHash = '9f2c4f0e5b7d8a6c1e3f5a7b9c0d2e4f6a8b0c1d3e5f7a9b1c2d4e6f8a0b1c2d'
const opensAt = 1_793_705_400_000
const HOUR = 3_600_000

/** What the record of a day can be asked, while it runs and afterwards. */
export const reviewOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/review',
    id: 'review',
    title: 'The days that have a record',
    group: 'days',
    who: reviewers,
    answer: reviewDays,
    example: {
      answer: {
        days: [
          {
            id: 'ellery-county-2026-11-03-practice',
            county: 'Ellery County',
            name: 'General election practice',
            kind: 'practice',
            date: '2026-11-03',
            is: 'running',
          },
        ],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/marks',
    id: 'marks',
    title: 'How far the record of a day reaches, and what stands on it',
    words:
      'Instants are milliseconds of day time. Reasons are those of the tiers stop and now, at their first raising.',
    group: 'days',
    who: reviewers,
    answer: dayMarks,
    more: { 404: 'there is no such day, or nothing is recorded of it', 503: 'too many are asking' },
    example: {
      path: { day: '$DAY' },
      answer: {
        day: 'ellery-county-2026-11-03-practice',
        county: 'Ellery County',
        name: 'General election practice',
        kind: 'practice',
        date: '2026-11-03',
        timeZone: 'America/New_York',
        first: opensAt - HOUR,
        last: opensAt + 3 * HOUR,
        running: true,
        entries: 812,
        opensAt,
        closesAt: opensAt + 13 * HOUR,
        quarters: [{ from: opensAt, entries: 131 }],
        reasons: [{ at: opensAt, position: 212, tier: 'stop', rule: 'not-open', precinct: 'gull-point' }],
        reasonsLeftOut: 0,
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/state',
    id: 'state',
    title: 'The board at an instant, as the office knew it or as it happened',
    words:
      'The fold of a beginning of the log: `known`, what was recorded by then; `happened`, what was so by then, the system’s verdicts left aside. An instant before the first entry counts as the first, one after a day’s end as the last; one that has not come yet is refused.',
    group: 'days',
    who: reviewers,
    query: stateQuery,
    answer: snapshot,
    more: { 404: 'there is no such day, or nothing is recorded of it', 503: 'too many are asking' },
    example: {
      path: { day: '$DAY' },
      query: { position: '1', view: 'known' },
      answer: {
        log: 'ellery-county-2026-11-03-practice:9f2c4f0e5b7d8a6c',
        cursor: 1,
        head: { position: 1, hash: sampleHash },
        now: opensAt - HOUR,
        speed: 0,
        plan: {},
        rows: [],
        calls: [],
        errands: [],
        notices: [],
        people: {},
        forecasts: null,
      },
    },
  },
]
