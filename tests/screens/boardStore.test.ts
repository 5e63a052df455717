import { describe, expect, it } from 'vitest'
import { dayNow } from '../../app/live/clock.ts'
import type { Errand } from '../../server/domain/day/state.ts'
import { aLine, aPatch, aRow, aSnapshot, aStore, at } from '../support/aBoard.ts'
import { aForecast, someForecasts } from '../support/aForecast.ts'

async function running() {
  const made = aStore()
  made.store.connected()
  await made.asked[0]!.answer({ ok: true, snapshot: aSnapshot() })
  return made
}

describe('the board in the browser', () => {
  it('asks for the whole picture first and shows it', async () => {
    const { store, asked } = await running()
    expect(asked[0]!.request).toEqual({ day: 'ellery-2026-11-03' })
    expect(store.get()).toMatchObject({ cursor: 100, pictureOf: at(9, 41), link: { is: 'connected' } })
    expect(store.get().rows.size).toBe(3)
  })

  it('asks for its board before it tells anybody that the link is there: a command sent at once comes after', () => {
    const { store, asked } = aStore()
    const askedWhenTold: number[] = []
    store.listen(() => askedWhenTold.push(asked.length))
    store.connected()
    expect(askedWhenTold).toEqual([1])
  })

  it('P4 takes errands by what changed: others keep their place and stay the same object', async () => {
    const { store } = await running()
    const errand = (id: string, touchedAt: number): Errand => ({
      id,
      rover: 'R-1',
      precinct: 'E-01',
      by: 'imre',
      is: 'assigned',
      assignedAt: at(9, 30),
      acceptedAt: null,
      onTheWayAt: null,
      onSiteAt: null,
      endedAt: null,
      position: touchedAt,
      touchedAt,
    })
    const [a, b] = [errand('a', 101), errand('b', 102)]
    store.patch(aPatch(100, 102, { errands: [a, b] }))
    const moved = { ...a, is: 'accepted' as const, touchedAt: 103 }
    store.patch(aPatch(102, 103, { errands: [moved] }))
    expect(store.get().errands).toEqual([moved, b])
    expect(store.get().errands[1]).toBe(b)
    const kept = store.get().errands
    store.patch(aPatch(103, 104))
    expect(store.get().errands).toBe(kept)
  })

  it('P4 lays newer forecasts over those that were there, and keeps them where a patch has none', async () => {
    const made = aStore()
    made.store.connected()
    await made.asked[0]!.answer({ ok: true, snapshot: aSnapshot({ forecasts: someForecasts(90) }) })
    const before = made.store.get().forecasts!
    const changed = aForecast('E-02', { faults: [{ what: 'back', at: at(9, 30), is: 20, before: 200 }] })
    made.store.patch(aPatch(100, 101, { forecasts: someForecasts(101, { precincts: [changed] }) }))
    const after = made.store.get().forecasts!
    expect([before.position, after.position]).toEqual([90, 101])
    expect(after.precincts.get('E-02')).toEqual(changed)
    expect(after.precincts.get('E-01')).toBe(before.precincts.get('E-01'))
    made.store.patch(aPatch(101, 102))
    expect(made.store.get().forecasts).toBe(after)
  })

  it('P4 applies a patch that joins on, and leaves every other row and list the same object', async () => {
    const { store } = await running()
    const before = store.get()
    const changed = aRow('E-02', { standing: 'closing' })
    store.patch(aPatch(100, 104, { rows: [changed] }))
    expect(store.get().cursor).toBe(104)
    expect(store.get().rows.get('E-02')).toBe(changed)
    expect(store.get().rows.get('E-01')).toBe(before.rows.get('E-01'))
    expect(store.get().calls).toBe(before.calls)
    expect(store.get().people).toBe(before.people)
  })

  it('keeps the rows as they are when a patch brings only calls', async () => {
    const { store } = await running()
    const { rows } = store.get()
    const calls = [aLine('E-01')]
    store.patch(aPatch(100, 101, { calls }))
    expect(store.get().rows).toBe(rows)
    expect(store.get().calls).toBe(calls)
  })

  it('P5 asks once for a fresh picture however many patches come after a gap', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(103, 104, { rows: [aRow('E-01', { standing: 'closed' })] }))
    store.patch(aPatch(104, 105))
    store.patch(aPatch(105, 106))
    expect(asked).toHaveLength(2)
    expect(asked[1]!.request).toEqual({
      day: 'ellery-2026-11-03',
      cursor: 100,
      log: 'log-1',
      hash: aSnapshot().head.hash,
    })
    expect(store.get().cursor).toBe(100)
    expect(store.get().rows.get('E-01')!.standing).toBe('open')
  })

  it('P5 puts patches that came during the asking on top of the answer, and drops those it contains', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(103, 104))
    store.patch(aPatch(104, 105, { rows: [aRow('E-01', { standing: 'closing' })] }))
    await asked[1]!.answer({ ok: true, patches: [aPatch(100, 104)] })
    expect(store.get().cursor).toBe(105)
    expect(store.get().rows.get('E-01')!.standing).toBe('closing')
    expect(asked).toHaveLength(2)
  })

  it('asks for the whole picture when what the server sent does not join on', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(103, 104))
    await asked[1]!.answer({ ok: true, patches: [aPatch(102, 104)] })
    expect(asked[2]!.request).toEqual({ day: 'ellery-2026-11-03' })
    await asked[2]!.answer({ ok: true, snapshot: aSnapshot({ cursor: 104 }) })
    expect(store.get().cursor).toBe(104)
  })

  it('ignores a patch that it already has', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(98, 100, { rows: [aRow('E-01', { standing: 'not-heard' })] }))
    expect(asked).toHaveLength(1)
    expect(store.get().rows.get('E-01')!.standing).toBe('open')
  })

  it('P5 takes a patch of another log for a gap', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(100, 101, { log: 'log-2' }))
    expect(asked).toHaveLength(2)
    await asked[1]!.answer({ ok: true, snapshot: aSnapshot({ log: 'log-2', cursor: 7 }) })
    expect(store.get()).toMatchObject({ log: 'log-2', cursor: 7 })
  })

  it('keeps the last picture when the link goes, and says since when', async () => {
    const { store, wall } = await running()
    wall.now += 5_000
    store.lost()
    wall.now += 60_000
    store.lost()
    expect(store.get().link).toEqual({ is: 'lost', since: 1_005_000 })
    expect(store.get().rows.size).toBe(3)
    expect(store.get().pictureOf).toBe(at(9, 41))
  })

  it('P5 goes on from its own place in the log when the link is back', async () => {
    const { store, asked } = await running()
    store.lost()
    store.connected()
    expect(asked[1]!.request).toEqual({
      day: 'ellery-2026-11-03',
      cursor: 100,
      log: 'log-1',
      hash: aSnapshot().head.hash,
    })
    await asked[1]!.answer({ ok: true, patches: [aPatch(100, 109)] })
    expect(store.get()).toMatchObject({ cursor: 109, link: { is: 'connected' } })
  })

  it('P4, P5 names the entry it stands on, and takes a picture that lies before it: the office was restored', async () => {
    const { store, asked } = await running()
    store.patch(aPatch(100, 120, { head: { position: 120, hash: 'f'.repeat(64) } }))
    store.lost()
    store.connected()
    expect(asked[1]!.request).toMatchObject({ cursor: 120, log: 'log-1', hash: 'f'.repeat(64) })
    await asked[1]!.answer({ ok: true, snapshot: aSnapshot({ cursor: 90 }) })
    expect(store.get().cursor).toBe(90)
    store.patch(aPatch(90, 91))
    expect(store.get().cursor).toBe(91)
  })

  it('tries again with growing pauses when no answer comes', async () => {
    const { asked, timers, store } = aStore()
    store.connected()
    await asked[0]!.fail()
    expect(timers[0]!.milliseconds).toBe(1_000)
    timers[0]!.what()
    await asked[1]!.fail()
    expect(timers[1]!.milliseconds).toBe(2_000)
    for (let i = 2; i < 8; i++) {
      timers[i - 1]!.what()
      await asked[i]!.fail()
    }
    expect(timers.at(-1)!.milliseconds).toBe(15_000)
  })

  it('does not ask over a link that is gone', async () => {
    const { asked, timers, store } = aStore()
    store.connected()
    store.lost()
    await asked[0]!.fail()
    timers[0]!.what()
    expect(asked).toHaveLength(1)
  })

  it('says why the server gives no board', async () => {
    const { asked, store } = aStore()
    store.connected()
    await asked[0]!.answer({
      ok: false,
      problems: [{ path: 'day', message: 'there is no such running day' }],
    })
    expect(store.get()).toMatchObject({ refused: 'there is no such running day', plan: null })
  })

  it('runs the day clock from the told instant, at its speed, by the wall time gone by', async () => {
    const { asked, store, wall } = aStore()
    store.connected()
    await asked[0]!.answer({ ok: true, snapshot: aSnapshot({ speed: 60 }) })
    expect(dayNow(store.get().clock!, wall.now + 1_000)).toBe(at(9, 42))
    expect(dayNow(store.get().clock!, wall.now - 5_000)).toBe(at(9, 41))
  })

  it('tells its listeners until they leave', async () => {
    const { store } = await running()
    let told = 0
    const leave = store.listen(() => told++)
    store.patch(aPatch(100, 101))
    expect(told).toBe(1)
    leave()
    store.patch(aPatch(101, 102))
    expect(told).toBe(1)
  })
})
