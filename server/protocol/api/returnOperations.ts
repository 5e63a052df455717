import { z } from 'zod'
import { code } from '../../domain/log/fields.ts'
import { returnsAnswer } from '../returns.ts'
import type { Operation } from './operation.ts'

/** What the receiving table asks. */
export const returnOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/returns',
    id: 'returns',
    title: 'Returns: expected, under way, overdue, checked in and how they compare',
    words:
      'Numbers of expected seals are never told: who checks a return in gives those that were found. `precinct` may stand several times.',
    group: 'days',
    who: ['receiving', 'desk', 'supervisor'],
    query: z.object({ precinct: code.optional() }),
    answer: returnsAnswer,
    more: { 404: 'no such running day or precinct' },
    example: {
      path: { day: '$DAY' },
      query: { precinct: 'gull-point' },
      answer: {
        now: '2026-11-04T01:52:00.000Z',
        cursor: 9120,
        returnBy: '2026-11-04T03:30:00.000Z',
        overdueMinutes: 90,
        stations: [{ code: 'county-depot', name: 'County Depot' }],
        returns: [
          {
            precinct: 'gull-point',
            name: 'Gull Point',
            place: { code: 'gull-point-school', name: 'Gull Point School' },
            standing: 'received',
            departedAt: '2026-11-04T01:15:00.000Z',
            expected: null,
            overdueAt: '2026-11-04T02:45:00.000Z',
            overdue: false,
            sent: { said: true, items: ['memory-device', 'tapes'], seals: 2, carriers: 2 },
            received: {
              at: '2026-11-04T01:50:00.000Z',
              via: 'desk',
              by: 'Nell',
              carriers: 2,
              station: { code: 'county-depot', name: 'County Depot' },
              items: ['memory-device', 'tapes'],
              seals: ['E702114', 'E702190'],
              position: 9118,
              receipt: 'R-9118',
            },
            difference: {
              itemsMissing: [],
              itemsExtra: [],
              sealsMissing: ['E702115'],
              sealsExtra: ['E702190'],
            },
          },
        ],
      },
    },
  },
]
