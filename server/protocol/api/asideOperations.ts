import { asideAnswer } from '../aside.ts'
import type { Operation } from './operation.ts'

/** What waits for the desk's answer: it is given by the commands AcceptAside and LeaveAside. */
export const asideOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/precincts/:code/aside',
    id: 'aside',
    title: 'Reports of a precinct that were kept aside',
    words:
      'What a tablet said after another took its place, or under a number that was used before with other content. They are no part of the day until the command `AcceptAside` makes them entries at the time they happened; `LeaveAside` leaves them out. Both name reports as this list does.',
    group: 'days',
    who: ['desk', 'supervisor'],
    answer: asideAnswer,
    more: { 404: 'there is no such day' },
    example: {
      path: { day: '$DAY', code: '$PRECINCT' },
      answer: {
        open: 1,
        reports: [
          {
            device: 'd_7Q2mX4',
            number: 15,
            content: 4518260917263514,
            label: 'tablet 12',
            why: 'replaced',
            kind: 'LineReported',
            body: { inLine: 24 },
            occurredAt: '2026-11-03T14:20:00.000Z',
            receivedAt: '2026-11-03T15:02:10.000Z',
            problems: [],
          },
        ],
      },
    },
  },
]
