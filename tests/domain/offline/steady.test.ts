import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  datedNow,
  heardAt,
  lookAt,
  newTrail,
  type Reading,
  type Stamp,
  saidAt,
  type Trail,
} from '../../../app/live/deviceSteady.ts'
import { HOUR, MINUTE, SECOND } from '../../../server/domain/time.ts'

/** A tablet in a made world: true time goes on, its clock is set, it sleeps, the page looks every five seconds. */
function tablet(life = 'a', wall = 1_700_000_000_000) {
  let truth = 0
  let now: Reading = { wall, mono: 0 }
  let trail: Trail = newTrail(life, now)
  const world = {
    awake(ms: number) {
      for (let left = ms; left > 0; left -= 5 * SECOND) {
        const step = Math.min(left, 5 * SECOND)
        truth += step
        now = { wall: now.wall + step, mono: now.mono + step }
        trail = lookAt(trail, now)
      }
    },
    asleep(ms: number) {
      truth += ms
      now = { wall: now.wall + ms, mono: now.mono }
    },
    set(by: number) {
      now = { ...now, wall: now.wall + by }
    },
    office() {
      trail = heardAt(trail, DAY_BEGAN + truth, now)
    },
    say() {
      trail = lookAt(trail, now)
      const stamp: Stamp = { life: trail.life, mono: now.mono, sure: trail.contact !== null }
      return { at: now.wall, stamp, truth, dayAt: trail.contact && DAY_BEGAN + truth }
    },
    /** The page is opened anew; the clock may have been set meanwhile. */
    again(next: string, off: number, setBy: number) {
      truth += off
      now = { wall: now.wall + off + setBy, mono: 0 }
      trail = newTrail(next, now)
    },
    /** How long ago it was said, by the tablet: what the office works with. */
    ago: (said: { at: number; stamp: Stamp; dayAt: number | null }) =>
      now.wall - saidAt(trail, said.at, said.stamp, said.dayAt),
    trueAgo: (said: { truth: number }) => truth - said.truth,
  }
  return world
}
const DAY_BEGAN = 1_800_000_000_000

describe('the time of a report whose device’s clock was set before it was sent', () => {
  it('P7: stands when the clock was set back', () => {
    const t = tablet()
    t.awake(10 * MINUTE)
    const said = t.say()
    t.awake(MINUTE)
    t.set(-2 * HOUR)
    t.awake(5 * MINUTE)
    expect(t.ago(said)).toBe(6 * MINUTE)
    const later = t.say()
    t.awake(MINUTE)
    expect(t.ago(later)).toBe(MINUTE)
  })

  it('P7: stands when a clock that was years behind is set right by the network', () => {
    const t = tablet('a', 0)
    t.awake(MINUTE)
    const said = t.say()
    t.awake(MINUTE)
    t.set(50 * 365 * 24 * HOUR)
    t.awake(SECOND)
    t.office()
    expect(t.ago(said)).toBe(MINUTE + SECOND)
  })

  it('P7: takes a night’s sleep for sleep, and a clock set forward for set, when the office has been heard', () => {
    const sleeper = tablet()
    sleeper.office()
    const before = sleeper.say()
    sleeper.asleep(HOUR)
    sleeper.awake(MINUTE)
    expect(sleeper.ago(before)).toBe(HOUR + MINUTE)
    sleeper.office()
    expect(sleeper.ago(before)).toBe(HOUR + MINUTE)

    const set = tablet()
    set.office()
    const said = set.say()
    set.set(HOUR)
    set.awake(MINUTE)
    const after = set.say()
    set.awake(MINUTE)
    expect(set.ago(said)).toBe(HOUR + 2 * MINUTE)
    set.office()
    expect(set.ago(said)).toBe(2 * MINUTE)
    expect(set.ago(after)).toBe(MINUTE)
  })

  it('P7: tells the one from the other where both happened', () => {
    const t = tablet()
    t.office()
    const first = t.say()
    t.awake(MINUTE)
    t.asleep(20 * MINUTE)
    t.awake(MINUTE)
    const second = t.say()
    t.set(HOUR)
    t.awake(MINUTE)
    t.office()
    expect(t.ago(first)).toBe(23 * MINUTE)
    expect(t.ago(second)).toBe(MINUTE)
  })

  it('P7: stands when the tablet’s battery was flat and its clock lost, by the day time that was known', () => {
    const t = tablet()
    t.awake(MINUTE)
    t.office()
    const said = t.say()
    t.again('b', 30 * MINUTE, -400 * 24 * HOUR)
    t.awake(MINUTE)
    expect(t.ago(said)).not.toBe(31 * MINUTE)
    t.office()
    expect(t.ago(said)).toBe(31 * MINUTE)
  })

  it('P7: with no jump it changes nothing, whatever sleeps, restarts and breaks of the network there were', () => {
    const step = fc.oneof(
      fc.record({ what: fc.constant('awake' as const), ms: fc.integer({ min: 0, max: HOUR }) }),
      fc.record({ what: fc.constant('asleep' as const), ms: fc.integer({ min: 0, max: 6 * HOUR }) }),
      fc.record({ what: fc.constant('office' as const), ms: fc.constant(0) }),
      fc.record({ what: fc.constant('say' as const), ms: fc.constant(0) }),
      fc.record({ what: fc.constant('again' as const), ms: fc.integer({ min: 0, max: HOUR }) }),
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 30 }), steps => {
        const t = tablet()
        const said: Array<ReturnType<typeof t.say>> = []
        steps.forEach(({ what, ms }, i) => {
          if (what === 'say') said.push(t.say())
          else if (what === 'office') t.office()
          else if (what === 'again') t.again(`life-${i}`, ms, 0)
          else t[what](ms)
        })
        for (const one of said) expect(t.ago(one)).toBe(t.trueAgo(one))
      }),
      { seed: 20261103, numRuns: 200 },
    )
  })

  it('P7: is right after any number of settings back, in any order with what is said', () => {
    const step = fc.record({
      what: fc.constantFrom('awake' as const, 'set' as const, 'say' as const),
      ms: fc.integer({ min: 10 * SECOND, max: HOUR }),
    })
    fc.assert(
      fc.property(fc.array(step, { maxLength: 30 }), steps => {
        const t = tablet()
        const said: Array<ReturnType<typeof t.say>> = []
        for (const { what, ms } of steps) {
          if (what === 'say') said.push(t.say())
          else if (what === 'awake') t.awake(ms)
          else t.set(-ms)
          // A look between two settings, as every five seconds there is.
          t.awake(1)
        }
        for (const one of said) expect(t.ago(one)).toBe(t.trueAgo(one))
      }),
      { seed: 20261103, numRuns: 200 },
    )
  })

  it('moves the time in the body with the report’s own, and leaves what it can’t date', () => {
    const trail = lookAt(lookAt(newTrail('a', { wall: HOUR, mono: 0 }), { wall: HOUR, mono: 0 }), {
      wall: HOUR - 10 * MINUTE,
      mono: 0,
    })
    const report = {
      at: '1970-01-01T00:59:00.000Z',
      dayAt: null,
      body: { inLine: 3, asOf: '1970-01-01T00:58:00.000Z' },
      stamp: { life: 'a', mono: -1, sure: false },
    }
    expect(datedNow(trail, report)).toEqual({
      ...report,
      at: '1970-01-01T00:49:00.000Z',
      body: { inLine: 3, asOf: '1970-01-01T00:48:00.000Z' },
    })
    const old = { ...report, stamp: undefined }
    expect(datedNow(trail, old)).toBe(old)
    const other = { ...report, stamp: { life: 'b', mono: 0, sure: true } }
    expect(datedNow(trail, other)).toBe(other)
  })
})
