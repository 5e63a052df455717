import { describe, expect, it } from 'vitest'
import { MOST_WAITING, makeTaps, type Tap, type TapBody } from '../../app/rover/taps.ts'
import { pressedTo } from '../../app/rover/useTaps.ts'
import type { CommandAnswer } from '../../server/protocol/command.ts'

const unavailable: CommandAnswer = { ok: false, refusal: { reason: 'unavailable', message: 'No answer.' } }

/** A phone whose office is the test: every tap that is sent waits in `sent` for its answer. */
function phone(kept: Tap[] = []) {
  const store = { taps: kept, works: true }
  const sent: Array<{ command: string; body: TapBody; id: string; answer(a: CommandAnswer): Promise<void> }> =
    []
  const timers: Array<() => void> = []
  const wall = { now: 1_000_000 }
  let ids = 0
  const settle = () => new Promise<void>(done => setTimeout(done))
  const taps = makeTaps({
    load: () => store.taps,
    save: list => {
      if (store.works) store.taps = [...list]
      return store.works
    },
    send: (command, body, id) =>
      new Promise(resolve =>
        sent.push({
          command,
          body,
          id,
          answer: a => {
            resolve(a)
            return settle()
          },
        }),
      ),
    wall: () => wall.now,
    freshId: () => `id-${++ids}`,
    later: (_, what) => void timers.push(what),
  })
  return { taps, store, sent, timers, wall, settle }
}
const taken = (position: number): CommandAnswer => ({ ok: true, position })

describe('what a rover presses', () => {
  it('is kept before it is sent, and no longer once it is answered', async () => {
    const { taps, store, sent } = phone()
    taps.tap('SetOut', 'e-1')
    expect(store.taps).toEqual([{ id: 'id-1', command: 'SetOut', errand: 'e-1', words: null, at: 1_000_000 }])
    expect(sent.map(s => [s.command, s.body, s.id])).toEqual([['SetOut', { errand: 'e-1' }, 'id-1']])
    await sent[0]!.answer(taken(7))
    expect(store.taps).toEqual([])
    expect(taps.get().taken).toMatchObject([{ id: 'id-1', position: 7 }])
  })

  it('stands until the picture has it', async () => {
    const { taps, sent } = phone()
    taps.tap('SetOut', 'e-1')
    await sent[0]!.answer(taken(7))
    taps.seen(6)
    expect(taps.get().taken).toHaveLength(1)
    taps.seen(7)
    expect(taps.get().taken).toHaveLength(0)
  })

  it('P2: without an answer is sent again under the same id, with how long ago it was pressed', async () => {
    const { taps, sent, timers, wall, settle } = phone()
    taps.tap('ArriveOnSite', 'e-1')
    await sent[0]!.answer(unavailable)
    expect(taps.get().waiting).toHaveLength(1)
    wall.now += 90_400
    for (const run of timers.splice(0)) run()
    await settle()
    expect(sent[1]).toMatchObject({ id: 'id-1', body: { errand: 'e-1', agoSeconds: 90 } })
    await sent[1]!.answer(taken(8))
    expect(taps.get().waiting).toEqual([])
  })

  it('goes one at a time and in order: arrived never overtakes on my way', async () => {
    const { taps, sent } = phone()
    taps.tap('SetOut', 'e-1')
    taps.tap('ArriveOnSite', 'e-1')
    taps.tap('AcceptErrand', 'e-2')
    expect(sent).toHaveLength(1)
    await sent[0]!.answer(taken(5))
    await sent[1]!.answer(taken(6))
    expect(sent.map(s => s.command)).toEqual(['SetOut', 'ArriveOnSite', 'AcceptErrand'])
  })

  it('P5: waits over a reload and is sent when there is a link again, under its own id', async () => {
    const before = phone()
    before.taps.tap('SetOut', 'e-1')
    before.taps.tap('FinishErrand', 'e-1', 'all works')
    const after = phone(before.store.taps)
    expect(after.sent).toEqual([])
    after.taps.flush()
    await after.sent[0]!.answer(taken(5))
    await after.sent[1]!.answer(taken(6))
    expect(after.sent.map(s => [s.id, s.body])).toEqual([
      ['id-1', { errand: 'e-1' }],
      ['id-2', { errand: 'e-1', note: 'all works' }],
    ])
    expect(after.store.taps).toEqual([])
  })

  it('is sent once by however many signs of a link, and asked for again by one timer', async () => {
    const { taps, sent, timers } = phone()
    taps.tap('SetOut', 'e-1')
    taps.flush()
    taps.flush()
    expect(sent).toHaveLength(1)
    await sent[0]!.answer(unavailable)
    taps.flush()
    await sent[1]!.answer(unavailable)
    expect(timers).toHaveLength(1)
  })

  it('that is refused is told with the office’s words until they are read; what came after goes on', async () => {
    const { taps, sent } = phone()
    taps.tap('SetOut', 'e-1')
    taps.tap('AcceptErrand', 'e-2')
    await sent[0]!.answer({
      ok: false,
      refusal: { reason: 'other-state', message: 'this errand is given back already' },
    })
    expect(taps.get().refused).toMatchObject([
      { tap: { id: 'id-1' }, message: 'this errand is given back already' },
    ])
    expect(sent).toHaveLength(2)
    taps.dismiss('id-1')
    expect(taps.get().refused).toEqual([])
  })

  it('carries why it was given back, and never says more than half a day ago or less than none', async () => {
    const { taps, sent, wall } = phone([
      { id: 'old', command: 'GiveBackErrand', errand: 'e-1', words: 'no ferry', at: 1_000_000 - 90_000_000 },
      { id: 'ahead', command: 'SetOut', errand: 'e-2', words: null, at: 1_000_000 + 60_000 },
    ])
    expect(wall.now).toBe(1_000_000)
    taps.flush()
    await sent[0]!.answer(taken(4))
    expect(sent[0]!.body).toEqual({ errand: 'e-1', agoSeconds: 43_200, why: 'no ferry' })
    expect(sent[1]!.body).toEqual({ errand: 'e-2' })
  })

  it('says when this phone keeps nothing, and takes no more than a bounded number', () => {
    const { taps, store } = phone()
    store.works = false
    expect(taps.tap('SetOut', 'e-1')).toBe(true)
    expect(taps.get().keeps).toBe(false)
    for (let i = 1; i < MOST_WAITING; i++) expect(taps.tap('SetOut', `e-${i}`)).toBe(true)
    expect(taps.tap('SetOut', 'e-last')).toBe(false)
    expect(taps.get().waiting).toHaveLength(MOST_WAITING)
  })

  it('moves the errand on the page at once, in the order it was pressed', () => {
    const { taps } = phone()
    const errand = { id: 'e-1', is: 'assigned' as const }
    expect(pressedTo(errand, taps.get())).toBe('assigned')
    taps.tap('SetOut', 'e-1')
    taps.tap('AcceptErrand', 'e-2')
    expect(pressedTo(errand, taps.get())).toBe('on-the-way')
    taps.tap('ArriveOnSite', 'e-1')
    expect(pressedTo(errand, taps.get())).toBe('on-site')
  })
})
