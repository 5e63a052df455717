import { custodyAnswer } from '../custody.ts'
import type { Operation } from './operation.ts'

/** What is asked about seals. */
export const custodyOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/precincts/:code/custody',
    id: 'custody',
    title: 'The chain of custody of a precinct’s containers, seal by seal',
    words:
      'Links in order of time, each with its gaps by name. Expected is the number put on last, else the plan’s; numbers are compared without spaces and case. `not-looked-at` is no gap before the polls have opened.',
    group: 'days',
    who: ['desk', 'supervisor'],
    answer: custodyAnswer,
    more: { 404: 'no such running day or precinct' },
    example: {
      path: { day: '$DAY', code: 'gull-point' },
      answer: {
        precinct: 'gull-point',
        opened: true,
        containers: [
          {
            container: 'ballot-box',
            planned: 'E702110',
            when: 'morning',
            links: [
              { at: '2026-11-03T10:52:00.000Z', act: 'found', number: 'E702110', state: 'intact', gaps: [] },
              {
                at: '2026-11-03T17:40:00.000Z',
                act: 'removed',
                number: 'E702110',
                state: 'intact',
                gaps: ['open-since'],
              },
            ],
            gaps: [],
            wrong: false,
            openSince: '2026-11-03T17:40:00.000Z',
          },
        ],
      },
    },
  },
]
