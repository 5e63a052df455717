import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { watchPresence } from '../../db/presence.ts'

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

const refused = () => Promise.reject(Object.assign(new Error('refused'), { code: 'ECONNREFUSED' }))
const passes = (ms: number) => vi.advanceTimersByTimeAsync(ms)

describe('whether the database answers', () => {
  it('is asked once where a connection was lost, however many lost one', async () => {
    const knock = vi.fn(async () => {})
    const presence = watchPresence(knock)
    for (let i = 0; i < 100; i++) presence.lost()
    await passes(0)
    expect(knock).toHaveBeenCalledTimes(1)
    expect(presence.away()).toBeNull()
    expect(await presence.back(1_000)).toBe(true)
  })

  it('is asked at growing distances while it is away, every two to three seconds in the end', async () => {
    const knock = vi.fn(refused)
    const presence = watchPresence(knock)
    presence.lost()
    await passes(4_000)
    expect(knock.mock.calls.length).toBeGreaterThanOrEqual(5)
    expect(knock.mock.calls.length).toBeLessThanOrEqual(6)
    const early = knock.mock.calls.length
    await passes(60_000)
    expect(knock.mock.calls.length - early).toBeGreaterThanOrEqual(19)
    expect(knock.mock.calls.length - early).toBeLessThanOrEqual(34)
    expect(presence.knocks()).toBe(knock.mock.calls.length)
    expect(presence.away()).toBe(64_000)
    presence.end()
  })

  it('tells everybody who waits when it is back, and that it was away, once', async () => {
    let there = false
    const presence = watchPresence(() => (there ? Promise.resolve() : refused()))
    const told: Array<number | null> = []
    presence.onChange(awayMs => told.push(awayMs))
    presence.lost()
    await passes(10)
    const waiting = Promise.all([presence.back(20_000), presence.back(20_000), presence.back(1_000)])
    await passes(2_000)
    there = true
    await passes(5_000)
    expect(await waiting).toEqual([true, true, false])
    expect(presence.away()).toBeNull()
    expect(told).toEqual([null, expect.any(Number)])
    const knocks = presence.knocks()
    await passes(60_000)
    expect(presence.knocks()).toBe(knocks)
  })

  it('lets nobody wait any more where the program ends', async () => {
    const presence = watchPresence(refused)
    presence.lost()
    await passes(10)
    const waiting = presence.back(20_000)
    await presence.hurry()
    expect(presence.knocks()).toBe(2)
    expect(await waiting).toBe(false)
    expect(await presence.back(20_000)).toBe(false)
    presence.end()
    const knocks = presence.knocks()
    await passes(60_000)
    expect(presence.knocks()).toBe(knocks)
  })

  it('is asked once more where the program ends: it may have come back since the last knock', async () => {
    let there = false
    const presence = watchPresence(() => (there ? Promise.resolve() : refused()))
    presence.lost()
    await passes(10_000)
    there = true
    const waiting = presence.back(20_000)
    await presence.hurry()
    expect(await waiting).toBe(true)
    expect(presence.away()).toBeNull()
  })

  it('is no question where it refuses us in its own words', async () => {
    const presence = watchPresence(() => Promise.reject(Object.assign(new Error('no'), { code: '28P01' })))
    presence.lost()
    await passes(10)
    expect(presence.away()).toBeNull()
  })
})
