import { describe, expect, it } from 'vitest'
import {
  BOARD_NOTICES,
  type BoardNotice,
  boardNotices,
  joinNotices,
  readBy,
} from '../../../server/domain/day/notices.ts'
import { LIMITS } from '../../../server/domain/day/state.ts'
import { at, desk, given, says } from '../../support/given.ts'

const sent = (time: string, to?: string[]) =>
  desk(null, time, 'NoticeSent', { ...(to ? { to } : {}), text: 'x', acknowledge: true })
const read = (precinct: string, time: string, notice: number) =>
  says(precinct, time, 'NoticeAcknowledged', { notice })

describe('notices of the desk', () => {
  it('are read where a precinct that they are to said so, at the earliest instant said', () => {
    const day = given(
      sent('10:00', ['E-01', 'E-02']),
      read('E-01', '10:20', 1),
      read('E-01', '10:05', 1),
      read('E-03', '10:06', 1),
    )
    expect(readBy(day.state.notices[0]!, day.state)).toEqual({
      read: [{ precinct: 'E-01', at: at('10:05') }],
      unread: ['E-02'],
    })
    expect(boardNotices(day.state)).toEqual([
      { position: 1, at: at('10:00'), by: 'ada', toAll: false, acknowledge: true, of: 2, read: 1 },
    ])
  })

  it('go to every precinct where none is named', () => {
    const day = given(sent('10:00'), read('E-03', '10:01', 1))
    expect(boardNotices(day.state)[0]).toMatchObject({ toAll: true, of: 3, read: 1 })
  })

  it('are kept within their limits: the latest of a day, and of what a precinct read the highest numbers', () => {
    const many = LIMITS.notices + 3
    const day = given(
      ...Array.from({ length: many }, () => sent('10:00')),
      ...Array.from({ length: many }, (_, i) => read('E-01', '11:00', many - i)),
    )
    expect(day.state.notices).toHaveLength(LIMITS.notices)
    expect(day.state.notices[0]!.position).toBe(4)
    const numbers = Object.keys(day.p('E-01').noticesRead).map(Number)
    expect([numbers.length, Math.min(...numbers), Math.max(...numbers)]).toEqual([LIMITS.notices, 4, many])
    expect(boardNotices(day.state)).toHaveLength(BOARD_NOTICES)
  })

  it('on a board take the place of their older selves, in the order of their sending', () => {
    const made = (position: number, read = 0): BoardNotice => ({
      position,
      at: 0,
      by: 'ada',
      toAll: true,
      acknowledge: true,
      of: 3,
      read,
    })
    expect(joinNotices([made(1), made(5)], [made(9), made(5, 2)])).toEqual([made(1), made(5, 2), made(9)])
    const full = Array.from({ length: BOARD_NOTICES }, (_, i) => made(i + 1))
    expect(joinNotices(full, [made(500)]).map(n => n.position)).toEqual([
      ...full.slice(1).map(n => n.position),
      500,
    ])
  })
})
