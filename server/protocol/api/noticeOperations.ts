import { noticeAnswer, noticesAnswer } from '../notices.ts'
import type { Operation } from './operation.ts'

const sample = {
  position: 902,
  at: '2026-11-03T18:10:00.000Z',
  by: 'Imre',
  to: null,
  text: 'Rain until four: please keep the entrance dry.',
  acknowledge: true,
  of: 64,
  read: 63,
}
const DAY = { day: '$DAY' }

/** What the desk had to say to precincts, and by whom it was read. It is sent by the command `SendNotice`. */
export const noticeOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/notices',
    id: 'notices',
    title: 'Notices of the desk',
    words: 'The latest first, at most 100; `to` null: every precinct; `text` null: its words were erased.',
    group: 'days',
    who: ['desk', 'supervisor'],
    answer: noticesAnswer,
    more: { 404: 'no such running day' },
    example: { path: DAY, answer: { notices: [sample] } },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/notices/:position',
    id: 'notice',
    title: 'One notice: which precincts said that they read it, and which have yet to',
    group: 'days',
    who: ['desk', 'supervisor'],
    answer: noticeAnswer,
    more: { 404: 'no such running day or notice' },
    example: {
      path: { ...DAY, position: '$NOTICE' },
      answer: {
        ...sample,
        to: ['gull-point', 'harbor-hall'],
        of: 2,
        read: 1,
        readBy: [{ precinct: 'harbor-hall', at: '2026-11-03T18:12:30.000Z' }],
        unread: ['gull-point'],
      },
    },
  },
]
