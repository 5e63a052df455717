import { describe, expect, test } from 'vitest'
import { pollsSince } from '../../../server/domain/day/evolvePolls.ts'
import { at, given, iso, says } from '../../support/given.ts'

const opened = says('E-01', '06:30', 'PollsOpened', {})
const closed = says('E-01', '19:31', 'PollsClosed', { stillInLine: 4 })

describe('polls', () => {
  test('reports and heartbeats write one register; the later instant wins, whichever comes last', () => {
    const suspended = says('E-01', '09:00', 'PollsSuspended', { cause: 'power' })
    const old = says('E-01', '09:05', 'HeartbeatReceived', {
      status: { polls: { is: 'open', asOf: iso('06:30') } },
    })
    expect(given(opened, suspended, old).p('E-01').polls?.is).toBe('suspended')
    expect(given(opened, suspended, old).row('E-01').suspended).toBe(true)
  })

  test('what a caller said of 9:30 beats a tablet’s word of 9:05 that comes in later', () => {
    const day = given(
      says('E-01', '09:30', 'PollsResumed', {}, { via: 'caller' }),
      says('E-01', '09:05', 'PollsSuspended', { cause: 'weather' }, { recorded: '09:40' }),
    )
    expect(day.p('E-01').polls?.is).toBe('open')
  })

  test('opened is the earliest opening that was ever said', () => {
    const late = says('E-01', '06:41', 'PollsOpened', {}, { via: 'caller' })
    expect(given(late, opened).row('E-01').openedAt).toBe(at('06:30'))
  })

  test('a heartbeat after a suspension doesn’t move the opening', () => {
    const resumed = says('E-01', '10:00', 'HeartbeatReceived', {
      status: { polls: { is: 'open', asOf: iso('09:50') } },
    })
    expect(given(opened, resumed).row('E-01').openedAt).toBe(at('06:30'))
  })

  test('closed is the beginning of the closing that stands', () => {
    const again = says('E-01', '19:45', 'PollsClosed', {}, { via: 'caller' })
    expect(given(opened, closed, again).row('E-01').closedAt).toBe(at('19:31'))
  })

  test('a closing that was taken back is none', () => {
    const mistaken = says('E-01', '11:00', 'PollsClosed', {})
    const resumed = says('E-01', '11:02', 'PollsResumed', {})
    expect(given(opened, mistaken, resumed).row('E-01').closedAt).toBeNull()
    expect(given(opened, mistaken, resumed, closed).row('E-01').closedAt).toBe(at('19:31'))
  })

  test('since when they are so is the first of the words that said it', () => {
    const first = says('E-01', '09:00', 'PollsSuspended', { cause: 'power' })
    const second = says('E-01', '09:10', 'PollsSuspended', { cause: 'power' }, { via: 'caller' })
    expect(pollsSince(given(opened, second, first).p('E-01'))).toBe(at('09:00'))
    expect(pollsSince(given().p('E-01'))).toBeNull()
  })

  test('opening with the slot opens the slot', () => {
    const day = given(says('E-01', '06:30', 'PollsOpened', { withSlot: true }))
    expect(day.p('E-01').withSlot).toBe(true)
    expect(day.row('E-01').slotOpen).toBe(true)
  })

  test('those still in line at the close are the line of then, and the last voter ends it', () => {
    expect(given(closed).row('E-01').inLine).toEqual({ is: 4, asOf: at('19:31') })
    const day = given(closed, says('E-01', '19:40', 'LastVoterServed', {}))
    expect(day.row('E-01').inLine).toEqual({ is: 0, asOf: at('19:40') })
  })

  test('a suspension is a stretch of the strip until it is resumed or the polls close', () => {
    const suspended = says('E-01', '09:00', 'PollsSuspended', { cause: 'power' })
    const resumed = says('E-01', '09:20', 'PollsResumed', {})
    expect(given(opened, suspended).row('E-01').strip.spans).toEqual([
      { what: 'suspended', from: at('09:00'), to: null },
    ])
    expect(given(opened, suspended, resumed).row('E-01').strip.spans).toEqual([
      { what: 'suspended', from: at('09:00'), to: at('09:20') },
    ])
    expect(given(opened, suspended, closed).row('E-01').strip.spans).toEqual([
      { what: 'suspended', from: at('09:00'), to: at('19:31') },
    ])
  })
})
