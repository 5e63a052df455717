import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ballotsForecast } from '../../../server/domain/ballots/forecast.ts'
import type { DayInput, PrecinctInput } from '../../../server/domain/forecast/input.ts'
import { MINUTE } from '../../../server/domain/time.ts'
import { countyForecast } from '../../../server/domain/turnout/county.ts'
import { turnoutOutlook } from '../../../server/domain/turnout/outlook.ts'
import { aDayInput, aPrecinctInput, clock, counted } from '../../support/forecastInput.ts'

const hourly = counted([8, 100], [9, 200], [10, 300], [11, 400], [12, 500])
const usual = Array.from({ length: 20 }, (_, i) => aPrecinctInput({ code: `C-${i}`, counts: hourly }))

function said(changes: Partial<PrecinctInput>, hours = 12, ofDay: Partial<DayInput> = {}) {
  const plain = aDayInput(hours)
  const day = { ...plain, policy: { ...plain.policy, ballotsMargin: 1 }, ...ofDay }
  const input = aPrecinctInput({ counts: hourly, ...changes })
  const county = countyForecast(day, usual)
  const { outlook, toCome } = turnoutOutlook(day, county, input)!
  return ballotsForecast(day, input, outlook, toCome, county.profile)
}

const stock = (left: number, hours = 12) => ({ ballots: { left, at: clock(hours) } })

describe('ballots until closing', () => {
  it('says nothing without a count, or with one older than three count intervals', () => {
    expect(said({})).toBeNull()
    expect(said(stock(500, 8.25))).not.toBeNull()
    expect(said(stock(500, 8.24))).toBeNull()
  })

  it('takes from a stock those who were checked in since', () => {
    expect(said(stock(900, 12))!.left).toBe(900)
    expect(said(stock(900, 10))!.left).toBe(700)
    // Between two counts by the profile: 250 of the day's by half past nine.
    expect(said(stock(900, 9.5))!.left).toBe(650)
    // Beyond the last count by the forecast, near a hundred an hour.
    expect(said(stock(900, 12), 13)!.left).toBeCloseTo(800, -1)
    expect(said(stock(100, 10))!.left).toBe(0)
  })

  it('has no need where the stock is ample', () => {
    expect(said({ ...stock(1_800), tripMinutes: 20 })).toMatchObject({
      endsAt: null,
      neededBy: null,
      leaveBy: null,
      voterMinutes: 0,
      outFrom: null,
      outUntil: null,
      style: null,
    })
    expect(said(stock(1_800))!.chance).toBeLessThan(0.001)
  })

  it('says when the stock ends by the middle, and sooner by when more must be there', () => {
    const short = said({ ...stock(400), tripMinutes: 20.4 })!
    expect(short.chance).toBeGreaterThan(0.99)
    expect(short.wanted).toBeGreaterThan(700)
    expect(short.wanted90).toBeGreaterThan(short.wanted)
    // A hundred an hour: four hours.
    expect(Math.abs(short.endsAt! - clock(16))).toBeLessThan(15 * MINUTE)
    expect(short.neededBy!).toBeLessThan(short.endsAt!)
    expect(short.leaveBy).toBe(short.neededBy! - 21 * MINUTE)
    expect(said(stock(400))!.leaveBy).toBeNull()
    const likely = said(stock(760))!
    expect(likely.chance).toBeGreaterThan(0.1)
    expect(likely.chance < 0.5).toBe(likely.endsAt === null)
  })

  it('is used up now where nothing is left: half the horizon for each who comes', () => {
    const none = said(stock(0))!
    expect(none).toMatchObject({
      left: 0,
      neededBy: clock(12),
      endsAt: clock(12),
      outFrom: clock(12),
      outUntil: clock(13),
    })
    expect(none.chance).toBeCloseTo(1, 9)
    // About a hundred voters in an hour, half an hour each.
    expect(none.voterMinutes / 3_000).toBeCloseTo(1, 1)
  })

  it('costs as much however far off the last ballot is, times the chance', () => {
    // About four hours on, a hundred voters in the hour after it.
    const far = said(stock(400))!
    expect(Math.abs(far.outFrom! - clock(16))).toBeLessThan(15 * MINUTE)
    expect(far.outUntil).toBe(far.outFrom! + 60 * MINUTE)
    expect(far.voterMinutes / 3_000).toBeCloseTo(1, 1)
    // Where it may last, the middle of the days on which it doesn't: before closing.
    const may = said(stock(830))!
    expect(may.chance).toBeGreaterThan(0.1)
    expect(may.chance).toBeLessThan(0.5)
    expect(may.outFrom!).toBeGreaterThan(may.neededBy!)
    expect(may.outFrom!).toBeLessThan(clock(20))
    const hours = (may.outUntil! - may.outFrom!) / (60 * MINUTE)
    expect(may.outUntil!).toBeLessThanOrEqual(clock(20))
    expect(may.voterMinutes / (may.chance * 100 * hours * hours * 30)).toBeCloseTo(1, 1)
    // The sooner and the likelier the more.
    const costs = [0, 400, 700, 740, 780, 820].map(left => said(stock(left))!.voterMinutes)
    for (let i = 2; i < costs.length; i++) expect(costs[i]!).toBeLessThan(costs[i - 1]!)
  })

  it('counts those in line before those who come', () => {
    const line = { lines: [{ at: clock(12), is: 60 }] }
    expect(said({ ...stock(400), lines: [{ at: clock(12), is: 900 }] })).toEqual(said(stock(400)))
    expect(said({ ...stock(400), ...line })!.endsAt!).toBeLessThan(said(stock(400))!.endsAt! - 25 * MINUTE)
  })

  it('names the style most likely to run out, by its share of those who came', () => {
    const styles = [
      { style: 'A', name: 'Ward', share: 0.9, ballots: 1_500 },
      { style: 'B', name: 'Corner', share: 0.1, ballots: 110 },
    ]
    const { style } = said({ ...stock(900), styles })!
    expect(style).toMatchObject({ style: 'B', name: 'Corner' })
    expect(style!.chance).toBeGreaterThan(0.7)
    const gone = said({ ...stock(900), styles: [{ style: 'B', name: 'Corner', share: 0.1, ballots: 40 }] })!
    expect(gone.style!.chance).toBe(1)
    const ample = said({ ...stock(900), styles: [{ style: 'A', name: 'Ward', share: 1, ballots: 9_000 }] })!
    expect(ample.style!.chance).toBe(0)
  })

  it('tells by when more of a style must be there, and what it costs those who need it', () => {
    const ofB = (ballots: number, left = 1_800) =>
      said({
        ...stock(left),
        tripMinutes: 20,
        styles: [{ style: 'B', name: 'Corner', share: 0.2, ballots }],
      })!
    // A hundred used; sixty more last three of the hours to come, twenty an hour.
    const short = ofB(160)
    expect(short.chance).toBeLessThan(0.001)
    expect(short.style!.chance).toBeGreaterThan(0.99)
    expect(short.endsAt).toBeNull()
    expect(Math.abs(short.outFrom! - clock(15))).toBeLessThan(15 * MINUTE)
    expect(short.neededBy!).toBeLessThan(short.outFrom!)
    expect(short.neededBy!).toBeGreaterThan(clock(13.5))
    expect(short.leaveBy).toBe(short.neededBy! - 20 * MINUTE)
    expect(short.outUntil).toBe(short.outFrom! + 60 * MINUTE)
    // About twenty voters in that hour, half an hour each.
    expect(short.voterMinutes / 600).toBeCloseTo(1, 1)
    // Less likely than not it has its instants, too.
    const may = ofB(272)
    expect(may.style!.chance).toBeGreaterThan(0.1)
    expect(may.style!.chance).toBeLessThan(0.5)
    expect(may.neededBy).not.toBeNull()
    // All together run out as well: the sooner of the two, and the cost of what costs more.
    const both = ofB(160, 600)
    expect(both.neededBy).toBe(short.neededBy)
    expect(both.voterMinutes).toBe(ofB(9_000, 600).voterMinutes)
    expect(ofB(160, 100).neededBy).toBe(ofB(9_000, 100).neededBy)
  })

  it('is over after closing', () => {
    const styles = [{ style: 'B', name: 'Corner', share: 0.1, ballots: 40 }]
    const after = said({ ...stock(3, 19), counts: counted([19, 1_100], [20, 1_250]), styles }, 20.25)!
    expect(after.style!.chance).toBe(0)
    expect(after).toMatchObject({
      chance: 0,
      wanted: 0,
      wanted90: 0,
      neededBy: null,
      endsAt: null,
      voterMinutes: 0,
    })
  })

  it('gives chances and instants between now and closing, for any input', () => {
    const hour = fc.double({ min: 7, max: 20, noNaN: true })
    const some = fc.integer({ min: 0, max: 3_000 })
    const input = fc.record({
      expected: some,
      ballots: fc.record({ left: some, at: hour.map(clock) }),
      counts: fc
        .array(fc.record({ at: hour.map(clock), is: some }), { maxLength: 6 })
        .map(list => list.sort((a, b) => a.at - b.at)),
      lines: fc.array(fc.record({ at: hour.map(clock), is: some }), { maxLength: 2 }),
      tripMinutes: fc.option(fc.double({ min: 0, max: 90, noNaN: true })),
      styles: fc.array(
        fc.record({
          style: fc.constant('S'),
          name: fc.constant('Some'),
          share: fc.double({ min: 0, max: 1, noNaN: true }),
          ballots: some,
        }),
        { maxLength: 2 },
      ),
    })
    fc.assert(
      fc.property(input, hour, (changes, hours) => {
        const forecast = said(changes, hours)
        if (!forecast) return
        const { chance, left, wanted, wanted90, endsAt, neededBy, voterMinutes, style } = forecast
        const { outFrom, outUntil } = forecast
        for (const n of [chance, style?.chance ?? 0]) {
          expect(n).toBeGreaterThanOrEqual(0)
          expect(n).toBeLessThanOrEqual(1)
        }
        expect([left, wanted, wanted90].every(n => Number.isSafeInteger(n) && n >= 0)).toBe(true)
        expect(voterMinutes >= 0 && Number.isFinite(voterMinutes)).toBe(true)
        expect(outFrom === null).toBe(outUntil === null)
        if (outFrom !== null) expect(outUntil!).toBeGreaterThanOrEqual(outFrom)
        if (outFrom !== null && endsAt !== null && !style) expect(outFrom).toBeLessThanOrEqual(endsAt)
        for (const at of [endsAt, neededBy, outFrom, outUntil])
          if (at !== null) {
            expect(at).toBeGreaterThanOrEqual(clock(hours))
            expect(at).toBeLessThanOrEqual(Math.max(clock(20), clock(hours)))
          }
        if (endsAt !== null && neededBy !== null) expect(neededBy).toBeLessThanOrEqual(endsAt)
      }),
      { numRuns: 150, seed: 8 },
    )
  })
})
