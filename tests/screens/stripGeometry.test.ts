import { describe, expect, it } from 'vitest'
import { frameOf, type StripFrame, stripGeometry, xOf } from '../../app/parts/stripGeometry.ts'
import { aRow, at, BRIEF } from '../support/aBoard.ts'
import { aForecast } from '../support/aForecast.ts'

/** One pixel is two minutes, from midnight: easy to check by head. */
const frame: StripFrame = {
  from: BRIEF.midnight,
  to: at(24),
  midnight: BRIEF.midnight,
  opensAt: BRIEF.opensAt,
  closesAt: BRIEF.closesAt,
  width: 720,
  height: 40,
}
const flat = Array.from({ length: 120 }, (_, q) => (q >= 26 && q < 78 ? 1 / 52 : 0))
const strip = aRow('E-01').strip
const draw = (row: Partial<Parameters<typeof aRow>[1] & object>, now = at(9, 41), expected = 520) =>
  stripGeometry(aRow('E-01', row), expected, flat, frame, now)

describe('the day strip', () => {
  it('puts hours, opening, closing and now where they belong', () => {
    const g = draw({})
    expect(xOf(at(6), frame)).toBe(180)
    expect([g.opensX, g.closesX]).toEqual([195, 585])
    expect(g.nowX).toBe(290.5)
  })

  it('never draws outside its window', () => {
    expect(xOf(at(-3), frame)).toBe(0)
    expect(xOf(at(40), frame)).toBe(720)
    expect(draw({}, at(25)).nowX).toBeNull()
  })

  it('is hollow from setting up until opened, with a notch for each step', () => {
    const g = draw({
      strip: { ...strip, setUpFrom: at(5, 30), notches: [at(5, 40), at(6)] },
      openedAt: at(6, 30),
    })
    expect(g.setUp).toEqual({ x: 165, w: 30, late: false })
    expect(g.notches).toEqual([170, 180])
  })

  it('stays hollow and late up to now where the polls did not open', () => {
    const g = draw({ standing: 'setting-up', openedAt: null, strip: { ...strip, setUpFrom: at(5, 30) } })
    expect(g.setUp).toEqual({ x: 165, w: 125.5, late: true })
  })

  it('shows a precinct that was never heard as late from the legal opening', () => {
    const never = {
      standing: 'not-heard' as const,
      openedAt: null,
      strip: { ...strip, setUpFrom: null, notches: [] },
    }
    expect(draw(never).setUp).toEqual({ x: 195, w: 95.5, late: true })
    expect(draw(never, at(6)).setUp).toBeNull()
  })

  it('scales bars against the expected peak, which stands at two thirds', () => {
    // 520 expected over 52 quarter hours: 10 each. Room is 40 − 1 − 9 = 30; 15 voters would fill it.
    const g = draw({
      strip: {
        ...strip,
        bars: [
          [26, 10],
          [27, 15],
          [28, 0],
        ],
      },
    })
    expect(g.bars.map(b => b.h)).toEqual([20, 30])
    expect(g.bars[0]).toMatchObject({ x: 195, y: 19, w: 6.7 })
    expect(g.base).toBe(39)
  })

  it('lets a larger bar than expected set the scale', () => {
    const g = draw({
      strip: {
        ...strip,
        bars: [
          [26, 30],
          [27, 10],
        ],
      },
    })
    expect(g.bars.map(b => b.h)).toEqual([30, 10])
  })

  it('cuts the bar of the running quarter hour at now and draws none after it', () => {
    const g = draw(
      {
        strip: {
          ...strip,
          bars: [
            [38, 8],
            [39, 8],
          ],
        },
      },
      at(9, 40),
    )
    expect(g.bars).toHaveLength(1)
    expect(g.bars[0]!.x + g.bars[0]!.w).toBeCloseTo(290 - 0.8, 1)
  })

  it('draws the forecast of each quarter hour to come as a band that begins at now', () => {
    const { turnout } = aForecast('E-01')
    const with_ = (now: number) =>
      stripGeometry(aRow('E-01'), 520, flat, frame, now, { ready: null, turnout, profile: flat }).coming
    // 40 quarter hours are left after 9:30: (700 − 240) ÷ 40 = 11.5 and (900 − 240) ÷ 40 = 16.5 voters in each,
    // at 30 pixels for 16.5 … the outline’s scale is 15 voters for 30 pixels: 23 and 33 pixels over the base at 39.
    expect(with_(at(9, 40)).startsWith('M290 6L292.5 6L')).toBe(true)
    expect(with_(at(9, 40)).endsWith('L292.5 16L290 16Z')).toBe(true)
    expect(with_(at(19, 30))).toBe('')
  })

  it('draws when it will be ready until it is open, late where the middle lies past the legal hour', () => {
    const ready = {
      done: 3,
      of: 6,
      chance: 0.3,
      by10: at(6, 20),
      by50: at(6, 40),
      by90: at(7),
      holding: 'box',
      helpBy: at(6, 5),
      latePeople: 12,
      lateVoterMinutes: 40,
    }
    const of = (row: Partial<Parameters<typeof aRow>[1] & object>, forecast = ready) =>
      stripGeometry(aRow('E-01', row), 520, flat, frame, at(6), {
        ready: forecast,
        turnout: null,
        profile: flat,
      }).ready
    expect(of({ openedAt: null })).toEqual({ x: 190, w: 20, middleX: 200, late: true })
    expect(of({ openedAt: null }, { ...ready, by50: at(6, 25) })?.late).toBe(false)
    expect(of({ openedAt: at(6, 30) })).toBeNull()
  })

  it('draws the outline of what was expected over the legal hours', () => {
    const g = draw({})
    expect(g.expected.startsWith('M195 39L198.8 19')).toBe(true)
    expect(g.expected.endsWith('L585 39Z')).toBe(true)
    expect(draw({}, at(9), 0).expected).toBe('')
  })

  it('draws the slot over the box of a tabulator that is down, both open up to now', () => {
    const g = draw({
      strip: {
        ...strip,
        spans: [
          { what: 'slot', from: at(9, 15), to: null },
          { what: 'down', from: at(9, 11), to: null },
        ],
      },
    })
    expect(g.boxes).toEqual([
      { what: 'down', x: 275.5, w: 15 },
      { what: 'slot', x: 277.5, w: 13 },
    ])
  })

  it('draws silence as dots over its time', () => {
    const g = draw({ strip: { ...strip, spans: [{ what: 'silent', from: at(9), to: at(9, 30) }] } })
    expect(g.dots).toEqual([272, 277, 282])
    expect(g.boxes).toEqual([])
  })

  it('marks calls, visits and incidents that have happened', () => {
    const g = draw({
      strip: {
        ...strip,
        marks: [
          ['call', at(8)],
          ['visit', at(9)],
          ['incident', at(12)],
        ],
      },
    })
    expect(g.marks).toEqual([
      { what: 'call', x: 240 },
      { what: 'visit', x: 270 },
    ])
  })

  it('has a tail after closing until the return is received', () => {
    expect(draw({}, at(20)).tail).toBeNull()
    const open = draw({ closedAt: at(19, 40), departedAt: at(20, 20) }, at(21))
    expect(open.tail).toEqual({ x: 590, w: 40, departedX: 610, received: false })
    const done = draw({ closedAt: at(19, 40), departedAt: at(20, 20), receivedAt: at(20, 50) }, at(23))
    expect(done.tail).toEqual({ x: 590, w: 35, departedX: 610, received: true })
  })

  it('frames the day from before reporting time to when returns are due', () => {
    const f = frameOf(BRIEF, 500, 40)
    expect(f.from).toBe(at(5))
    expect(f.to).toBe(at(22))
  })

  it('gives the same picture for the same row, plan and instant', () => {
    const row = {
      strip: {
        ...strip,
        bars: [[30, 7] as const],
        spans: [{ what: 'down' as const, from: at(8), to: null }],
      },
    }
    expect(draw(row)).toEqual(draw(row))
  })
})
