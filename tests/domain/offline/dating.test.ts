import { describe, expect, it } from 'vitest'
import { createSteadyClock, dating } from '../../../app/live/deviceDating.ts'
import { createOutbox } from '../../../app/live/outbox.ts'
import { createMemoryStore, createShelf } from '../../../app/live/outboxMemory.ts'
import { HOUR, MINUTE, SECOND } from '../../../server/domain/time.ts'
import type { ReportRequest } from '../../../server/protocol/device.ts'
import { settled } from '../../support/outboxHands.ts'

const owner = { device: 'd-1', day: 'ellery', precinct: 'E-01' }
const SIX = Date.parse('2026-11-03T11:00:00Z')

/** A page of a tablet whose clock can be set; the office is reached when `up`. */
function aPage(shelf = createShelf(), life = 'a', wall = SIX) {
  const hands = { wall, mono: 0, up: false, lose: false, sent: [] as ReportRequest[] }
  const steady = createSteadyClock(() => ({ wall: hands.wall, mono: hands.mono }), life)
  const store = dating(createMemoryStore(owner, shelf), steady)
  const outbox = createOutbox({
    store,
    clock: { now: () => hands.wall, after: () => () => undefined },
    random: () => 0.5,
    dayNow: () => hands.wall,
    linked: () => hands.up,
    transport: async request => {
      hands.sent.push(structuredClone(request))
      if (hands.lose) throw new Error('no answer')
      return { ok: true, upTo: request.reports.at(-1)?.number ?? 0, refused: [] }
    },
  })
  return {
    ...hands,
    hands,
    steady,
    store,
    outbox,
    wait(ms: number) {
      hands.wall += ms
      hands.mono += ms
      steady.look()
    },
    /** What the office takes each report to be old, in ms. */
    ages: () => hands.sent.flatMap(r => r.reports.map(one => Date.parse(r.sentAt!) - Date.parse(one.at))),
  }
}

describe('the outbox of a device whose clock is set', () => {
  it('P7: sends each report with its true age, and the time in its body with it', async () => {
    const { outbox, hands, wait, ages, steady } = aPage()
    await outbox.start(0)
    await outbox.say('LineReported', { inLine: 1, asOf: new Date(SIX - MINUTE).toISOString() })
    wait(10 * MINUTE)
    hands.wall -= 3 * HOUR
    steady.look()
    await outbox.say('LineReported', { inLine: 2 })
    wait(5 * MINUTE)
    hands.up = true
    outbox.wake()
    await settled()
    expect(ages()).toEqual([15 * MINUTE, 5 * MINUTE])
    const [request] = hands.sent
    expect(Date.parse(request!.sentAt!) - Date.parse(request!.reports[0]!.body.asOf as string)).toBe(
      16 * MINUTE,
    )
  })

  it('P2 P7: sends a report again just as it went out first, whatever the clock was set to since, in a later life too', async () => {
    const shelf = createShelf()
    const first = aPage(shelf)
    await first.outbox.start(0)
    await first.outbox.say('LineReported', { inLine: 1, asOf: new Date(SIX - MINUTE).toISOString() })
    await settled()
    first.wait(MINUTE)
    first.hands.wall -= HOUR
    first.steady.look()
    Object.assign(first.hands, { up: true, lose: true })
    first.outbox.wake()
    await settled()
    // The office has it, its answer was lost; and the clock is set again before it is sent anew.
    first.hands.wall += 3 * HOUR
    first.steady.look()
    first.outbox.wake()
    await settled()
    const later = aPage(shelf, 'b', first.hands.wall - 2 * HOUR)
    later.steady.heard(SIX + MINUTE)
    Object.assign(later.hands, { up: true })
    await later.outbox.start(0)
    later.outbox.wake()
    await settled()
    const sent = [...first.hands.sent, ...later.hands.sent].map(request => request.reports)
    expect(sent).toHaveLength(3)
    expect(new Set(sent.map(reports => JSON.stringify(reports))).size).toBe(1)
    expect(sent[0]![0]).toMatchObject({ number: 1, at: new Date(SIX - HOUR).toISOString() })
  })

  it('keeps correcting what was never sent, however often it was tried without a link', async () => {
    const { outbox, hands, wait, ages, steady } = aPage()
    await outbox.start(0)
    await outbox.say('LineReported', { inLine: 1 })
    outbox.wake()
    await settled()
    wait(MINUTE)
    hands.wall -= HOUR
    steady.look()
    outbox.wake()
    await settled()
    wait(MINUTE)
    hands.wall -= HOUR
    steady.look()
    hands.up = true
    outbox.wake()
    await settled()
    expect(ages()).toEqual([2 * MINUTE])
  })

  it('shows what was said by the clock as it runs now, and keeps it so when it is said anew', async () => {
    const { outbox, hands, wait, store, steady } = aPage()
    await outbox.start(0)
    await outbox.say('LineReported', { inLine: 1 })
    wait(MINUTE)
    hands.wall -= HOUR
    steady.look()
    await outbox.look()
    const [shown] = outbox.state().reports
    expect(shown!.at).toBe(new Date(SIX - HOUR).toISOString())
    await outbox.mend(shown!, 'LineReported', { inLine: 2 })
    wait(MINUTE)
    expect((await store.summary()).reports[0]!.at).toBe(new Date(SIX - HOUR).toISOString())
  })

  it('tells who asks by how much the clock was set, and wants the office first in each new life', () => {
    const { steady, hands, wait } = aPage()
    const told: number[] = []
    steady.onSet(by => told.push(by))
    expect(steady.asksOffice()).toBe(true)
    steady.heard(1_800_000_000_000)
    expect(steady.asksOffice()).toBe(false)
    wait(MINUTE)
    hands.wall -= 30 * SECOND
    steady.look()
    hands.wall += HOUR
    steady.look()
    expect(steady.asksOffice()).toBe(true)
    steady.heard(1_800_000_000_000 + MINUTE)
    expect(told).toEqual([-30 * SECOND, HOUR])
    expect(steady.asksOffice()).toBe(false)
  })
})
