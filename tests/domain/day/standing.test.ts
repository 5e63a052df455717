import { describe, expect, test } from 'vitest'
import { at, given, iso, opening, type Said, says } from '../../support/given.ts'

const ready = opening()
const opened = [...ready, says('E-01', '06:30', 'PollsOpened', {})]
const closing = [...opened, says('E-01', '19:30', 'PollsClosed', {})]
const closed = [
  ...closing,
  says('E-01', '19:50', 'StepCompleted', { step: 'tape-closed' }),
  says('E-01', '20:05', 'StepCompleted', { step: 'packed' }),
]
const returning = [
  ...closed,
  says('E-01', '20:15', 'ReturnDeparted', { carriers: 2, items: ['memory'], seals: ['R-1'] }),
]
const received = [
  ...returning,
  says('E-01', '20:50', 'ReturnReceived', { items: ['memory'], seals: ['R-1'] }, { via: 'paper' }),
]

describe('where a precinct is', () => {
  test.each<[string, Said[]]>([
    ['not-heard', []],
    ['setting-up', [says('E-01', '05:31', 'HeartbeatReceived', {})]],
    ['setting-up', ready.slice(0, -1)],
    ['ready', ready],
    ['open', opened],
    ['open', [...opened, says('E-01', '09:00', 'PollsSuspended', { cause: 'power' })]],
    ['open', [says('E-01', '06:30', 'PollsOpened', {})]],
    ['closing', closing],
    ['closed', closed],
    ['returning', returning],
    ['received', received],
  ])('%s', (standing, said) => {
    expect(given(...said).standing('E-01')).toBe(standing)
  })

  test('a rejected tape takes ready back', () => {
    const rejected = says('E-01', '06:00', 'OpeningTapeRejected', {
      tabulator: 'T-01',
      problems: ['not-zero'],
    })
    expect(given(...ready, rejected).standing('E-01')).toBe('setting-up')
  })

  test('the return’s instants stand in the row', () => {
    expect(given(...received).row('E-01')).toMatchObject({ departedAt: at('20:15'), receivedAt: at('20:50') })
    expect(given(...received).row('E-01').closing).toEqual({ done: 2, of: 2 })
  })

  test('a heartbeat that it left is believed, and the report with what is carried stands before it', () => {
    const beat = says('E-01', '20:20', 'HeartbeatReceived', {
      status: { returns: { is: 'on-its-way', asOf: iso('20:16') } },
    })
    expect(given(...closed, beat).standing('E-01')).toBe('returning')
    expect(given(...returning, beat).p('E-01').departed?.is.items).toEqual(['memory'])
    expect(given(beat, ...returning).p('E-01').departed?.is.items).toEqual(['memory'])
  })
})
