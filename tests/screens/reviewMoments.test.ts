import { describe, expect, it } from 'vitest'
import { stillWords } from '../../app/desk/foot.tsx'
import { makeAsking, PACE_MS } from '../../app/live/asking.ts'
import {
  addressFor,
  addressOf,
  bandWords,
  clamped,
  datesOf,
  hoursOf,
  reasonFrom,
  typedInstant,
} from '../../app/review/moments.ts'
import { HOUR, MINUTE } from '../../server/domain/time.ts'
import { at, BRIEF } from '../support/aBoard.ts'

const ZONE = 'America/New_York'
const marks = { first: at(5, 0), last: at(23, 40), timeZone: ZONE }

describe('instants of a review', () => {
  it('are kept within the record', () => {
    expect(clamped(at(4), marks)).toBe(at(5))
    expect(clamped(at(9, 41), marks)).toBe(at(9, 41))
    expect(clamped(at(24), marks)).toBe(at(23, 40))
  })

  it('go from reason to reason, and nowhere past the last', () => {
    const reasons = [at(6, 30), at(6, 30), at(9, 12)].map((instant, i) => ({
      at: instant,
      position: i + 1,
      tier: 'now' as const,
      rule: 'tabulator-down' as const,
      precinct: 'E-01',
    }))
    expect(reasonFrom({ reasons }, at(5), 1)).toBe(at(6, 30))
    expect(reasonFrom({ reasons }, at(6, 30), 1)).toBe(at(9, 12))
    expect(reasonFrom({ reasons }, at(9, 12), 1)).toBeNull()
    expect(reasonFrom({ reasons }, at(9, 12), -1)).toBe(at(6, 30))
    expect(reasonFrom({ reasons }, at(6, 30), -1)).toBeNull()
  })

  it('are typed as HH:MM on a date, two dates where the record passes midnight', () => {
    expect(datesOf(marks)).toEqual(['2026-11-03'])
    expect(datesOf({ ...marks, last: at(24, 20) })).toEqual(['2026-11-03', '2026-11-04'])
    expect(typedInstant('2026-11-03', '9:41', ZONE)).toBe(at(9, 41))
    expect(typedInstant('2026-11-04', '00:20', ZONE)).toBe(at(24, 20))
    for (const not of ['', '941', '24:00', '9:60', 'noon'])
      expect(typedInstant('2026-11-03', not, ZONE)).toBeNull()
  })

  it('are said in words that nobody takes for the live board', () => {
    expect(bandWords('known', at(9, 41), ZONE)).toBe(
      'Review: the county as the office knew it at 09:41 on Nov 3.',
    )
    expect(bandWords('happened', at(24, 5), ZONE)).toBe(
      'Review: the county as it really stood at 00:05 on Nov 4, by all that was told since.',
    )
    expect(
      stillWords(
        { pictureOf: at(9, 41), head: { position: 1_234, hash: 'ab12'.repeat(16) }, still: 'known' },
        ZONE,
      ),
    ).toBe('picture of 09:41:00, entry 1,234, hash ab12ab12ab12ab12')
  })

  it('stand in the address, which brings the same picture back', () => {
    const address = addressFor('ellery-2026-11-03', at(9, 41), 'happened')
    expect(address).toBe('/review?day=ellery-2026-11-03&at=2026-11-03T14:41:00.000Z&view=happened')
    expect(addressOf(address.slice(address.indexOf('?')))).toEqual({
      day: 'ellery-2026-11-03',
      at: at(9, 41),
      view: 'happened',
    })
    expect(addressOf('?at=soon&view=other')).toEqual({ day: null, at: null, view: 'known' })
  })

  it('have at most a dozen hours written under them', () => {
    const hours = hoursOf(marks, BRIEF.midnight)
    expect(hours.length).toBeLessThanOrEqual(13)
    expect(
      hours.every(h => (h - BRIEF.midnight) % (2 * HOUR) === 0 && h >= marks.first && h <= marks.last),
    ).toBe(true)
  })
})

describe('asking for pictures while a slider is dragged', () => {
  type Wish = { at: number; view: string }
  function asking() {
    let wall = 0
    const timers: Array<{ at: number; what: () => void }> = []
    const asked: Array<{ wish: Wish; at: number; answer(): Promise<void>; fail(): Promise<void> }> = []
    const shown: Wish[] = []
    const failed: string[] = []
    const settled = () => new Promise<void>(resolve => setTimeout(resolve))
    const made = makeAsking<Wish, Wish>({
      ask: wish =>
        new Promise((resolve, reject) =>
          asked.push({
            wish,
            at: wall,
            answer: () => {
              resolve(wish)
              return settled()
            },
            fail: () => {
              reject(new Error('no answer'))
              return settled()
            },
          }),
        ),
      show: answer => shown.push(answer),
      failed: error => failed.push((error as Error).message),
      serves: (a, b) => a.view === b.view,
      wall: () => wall,
      later: (milliseconds, what) => timers.push({ at: wall + milliseconds, what }),
    })
    const pass = (ms: number) => {
      wall += ms
      for (const timer of timers.splice(0))
        if (timer.at <= wall) timer.what()
        else timers.push(timer)
    }
    return { made, asked, shown, failed, pass }
  }
  const wish = (minute: number, view = 'known') => ({ at: minute * MINUTE, view })

  it('asks one at a time, five a second at most, and of the wishes in between only the latest', async () => {
    const { made, asked, shown, pass } = asking()
    for (let minute = 1; minute <= 20; minute++) made.wish(wish(minute))
    expect(asked.map(a => a.wish.at)).toEqual([MINUTE])
    await asked[0]!.answer()
    expect(asked).toHaveLength(1)
    pass(PACE_MS)
    expect(asked.map(a => a.wish.at)).toEqual([MINUTE, 20 * MINUTE])
    expect(asked[1]!.at - asked[0]!.at).toBeGreaterThanOrEqual(PACE_MS)
    await asked[1]!.answer()
    expect(shown.map(s => s.at)).toEqual([MINUTE, 20 * MINUTE])
    expect(made.busy()).toBe(false)
  })

  it('drops an answer of another view than is wished by then', async () => {
    const { made, asked, shown, pass } = asking()
    made.wish(wish(1))
    made.wish(wish(1, 'happened'))
    await asked[0]!.answer()
    expect(shown).toEqual([])
    pass(PACE_MS)
    await asked[1]!.answer()
    expect(shown).toEqual([wish(1, 'happened')])
  })

  it('tells a failure and goes on with the next wish; after its end it says nothing', async () => {
    const { made, asked, shown, failed, pass } = asking()
    made.wish(wish(1))
    await asked[0]!.fail()
    expect(failed).toEqual(['no answer'])
    pass(PACE_MS)
    made.wish(wish(2))
    made.end()
    await asked[1]!.answer()
    expect(shown).toEqual([])
    made.wish(wish(3))
    expect(asked).toHaveLength(2)
  })
})
