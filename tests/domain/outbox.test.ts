import { describe, expect, it } from 'vitest'
import { createOutbox, OUTBOX } from '../../app/live/outbox.ts'
import { createMemoryStore, createShelf } from '../../app/live/outboxMemory.ts'
import { KEPT, type OutboxStore } from '../../app/live/outboxStore.ts'
import { handClock, handOffice, settled } from '../support/outboxHands.ts'

const owner = { device: 'd-1', day: 'ellery', precinct: 'E-01' }

function anOutbox(over: { store?: OutboxStore; office?: ReturnType<typeof handOffice>; upTo?: number } = {}) {
  const store = over.store ?? createMemoryStore(owner)
  const office = over.office ?? handOffice()
  const clock = handClock()
  const outbox = createOutbox({ store, clock, random: () => 0.5, transport: office.transport })
  return { store, office, clock, outbox, start: () => outbox.start(over.upTo ?? 0) }
}
const step = (n: number) => ({ step: `step-${n}` })
const stepsHad = (office: ReturnType<typeof handOffice>) =>
  office.had.map(r => (r.body as { step: string }).step)

describe('saying', () => {
  it('P1: a report is numbered and saved before anything is sent', async () => {
    const { outbox, store, office, start } = anOutbox()
    await start()
    office.next.push('lose-request')
    expect(await outbox.say('StepCompleted', step(1))).toEqual({ ok: true, number: 1 })
    expect((await store.waiting(10)).map(r => r.number)).toEqual([1])
  })

  it('refuses a body that the office would refuse, field by field, and takes no number', async () => {
    const { outbox, start } = anOutbox()
    await start()
    const outcome = await outbox.say('CountsReported', { checkedIn: -3 })
    expect(outcome).toMatchObject({ ok: false, why: 'invalid', problems: [{ path: 'checkedIn' }] })
    expect(await outbox.say('StepCompleted', step(1))).toEqual({ ok: true, number: 1 })
  })

  it('refuses a report whose text is longer than a report may be', async () => {
    const { outbox, start } = anOutbox()
    await start()
    const long = { item: 'other', what: 'é'.repeat(1_000) }
    expect(await outbox.say('SuppliesRequested', long)).toMatchObject({ ok: true })
    const items = Array.from({ length: 40 }, (_, i) => `${'x'.repeat(37)}${i}`)
    const seals = Array.from({ length: 40 }, () => '\u{1F512}'.repeat(20))
    expect(await outbox.say('ReturnDeparted', { carriers: 2, items, seals })).toMatchObject({ ok: true })
    const control = { item: 'other', what: `a${'\u0001'.repeat(998)}b`, howMany: 1 }
    expect(await outbox.say('SuppliesRequested', control)).toMatchObject({ ok: true })
    const both = {
      category: 'other',
      what: `a${'\u0001'.repeat(998)}b`,
      resolution: `a${'\u0001'.repeat(998)}b`,
    }
    expect(await outbox.say('IncidentNoted', both)).toMatchObject({
      ok: false,
      why: 'invalid',
      problems: [{ path: '' }],
    })
  })

  it('goes on with the number after the one the office has, after enrolment', async () => {
    const { outbox, start } = anOutbox({ upTo: 41 })
    await start()
    expect(await outbox.say('StepCompleted', step(1))).toEqual({ ok: true, number: 42 })
  })

  it('refuses clearly at the bound and saves nothing', async () => {
    const store = createMemoryStore(owner)
    await store.open(0)
    const said = { at: '2026-11-03T11:00:00Z', kind: 'PollsResumed', body: {}, dayAt: null }
    for (let i = 0; i < 3; i++) await store.add(said, OUTBOX.limit)
    expect(await store.add(said, 3)).toBe('full')
    expect((await store.summary()).head.last).toBe(3)
    const full = { ...store, add: async () => 'full' as const }
    const { outbox, start } = anOutbox({ store: full })
    await start()
    expect(await outbox.say('PollsResumed', {})).toEqual({ ok: false, why: 'full', limit: 5_000 })
  })

  it('says that storage failed instead of pretending', async () => {
    const store = createMemoryStore(owner)
    const broken: OutboxStore = {
      ...store,
      add: async () => {
        throw new DOMException('no space', 'QuotaExceededError')
      },
    }
    const { outbox, office, clock, start } = anOutbox({ store: broken })
    await start()
    expect(await outbox.say('PollsResumed', {})).toMatchObject({
      ok: false,
      why: 'storage',
      message: 'QuotaExceededError: no space',
    })
    await clock.pass(60_000)
    expect(office.requests).toEqual([])
  })

  it('a report that was saved is not called a failure when reading the list fails afterwards', async () => {
    const store = createMemoryStore(owner)
    let fail = false
    const shaky: OutboxStore = {
      ...store,
      summary: () => (fail ? Promise.reject(new Error('cannot read')) : store.summary()),
    }
    const { outbox, start } = anOutbox({ store: shaky })
    await start()
    fail = true
    expect(await outbox.say('PollsResumed', {})).toEqual({ ok: true, number: 1 })
    expect(outbox.state().trouble).toMatchObject({ what: 'storage' })
  })
})

describe('sending', () => {
  it('P5: empties in order, one request in flight, at most 200 reports in each', async () => {
    const { outbox, office, clock, store, start } = anOutbox()
    await store.open(0)
    for (let i = 1; i <= 450; i++)
      await store.add(
        { at: '2026-11-03T11:00:00Z', kind: 'StepCompleted', body: step(i), dayAt: null },
        OUTBOX.limit,
      )
    let inFlight = 0
    let most = 0
    const send = office.transport
    office.transport = async request => {
      most = Math.max(most, ++inFlight)
      await settled()
      inFlight--
      return send(request)
    }
    const counted = createOutbox({ store, clock, random: () => 0.5, transport: r => office.transport(r) })
    await counted.start(0)
    counted.wake()
    counted.wake()
    for (let i = 0; i < 20; i++) await settled()
    expect(most).toBe(1)
    expect(office.requests.map(r => r.reports.length)).toEqual([200, 200, 50])
    expect(office.had.map(r => r.number)).toEqual(Array.from({ length: 450 }, (_, i) => i + 1))
    expect(counted.state().waiting).toBe(0)
    expect(outbox.state().ready).toBe(false)
    await start()
    expect(outbox.state().waiting).toBe(0)
  })

  it('keeps a request under 256 KB', async () => {
    const { outbox, office, store, clock } = anOutbox()
    await store.open(0)
    const body = { category: 'other', what: 'w'.repeat(1_000), resolution: 'é'.repeat(1_000) }
    for (let i = 0; i < 200; i++)
      await store.add({ at: '2026-11-03T11:00:00Z', kind: 'IncidentNoted', body, dayAt: null }, OUTBOX.limit)
    await outbox.start(0)
    await clock.pass(1_000)
    expect(office.had).toHaveLength(200)
    expect(office.requests.length).toBeGreaterThan(1)
    for (const request of office.requests)
      expect(new TextEncoder().encode(JSON.stringify(request)).length).toBeLessThanOrEqual(256 * 1024)
  })

  it('P2: a lost answer means the same report again, unchanged, and the office has it once', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.next.push('lose-answer')
    await outbox.say('StepCompleted', step(1))
    await settled()
    expect(outbox.state()).toMatchObject({ waiting: 1 })
    await clock.pass(1_000)
    expect(office.requests).toHaveLength(2)
    expect(office.requests[1]!.reports).toEqual(office.requests[0]!.reports)
    expect(office.had).toHaveLength(1)
    expect(outbox.state()).toMatchObject({ waiting: 0, head: { last: 1, upTo: 1 } })
  })

  it('P1: what was saved when the page died is sent by the next page over the same store', async () => {
    const shelf = createShelf()
    const office = handOffice()
    const first = anOutbox({ store: createMemoryStore(owner, shelf), office })
    await first.start()
    office.next.push('lose-request')
    await first.outbox.say('StepCompleted', step(1))
    first.outbox.stop()
    await first.store.add(
      { at: '2026-11-03T11:00:01Z', kind: 'StepCompleted', body: step(2), dayAt: null },
      10,
    )

    const second = anOutbox({ store: createMemoryStore(owner, shelf), office })
    await second.start()
    expect(await second.outbox.say('StepCompleted', step(3))).toEqual({ ok: true, number: 3 })
    await second.clock.pass(5_000)
    expect(stepsHad(office)).toEqual(['step-1', 'step-2', 'step-3'])
  })

  it('backs off with jitter: 1, 2, 4 … 30 seconds, each between half and whole', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.next.push(...Array.from({ length: 8 }, () => 'lose-request' as const))
    await outbox.say('StepCompleted', step(1))
    const waits: number[] = []
    for (let i = 0; i < 7; i++) {
      await settled()
      const [wait] = clock.planned()
      waits.push(wait!)
      await clock.pass(wait!)
    }
    expect(waits).toEqual([750, 1_500, 3_000, 6_000, 12_000, 22_500, 22_500])
  })

  it('sends at once when the link is back', async () => {
    const { outbox, office, start } = anOutbox()
    await start()
    office.next.push('lose-request')
    await outbox.say('StepCompleted', step(1))
    await settled()
    expect(office.had).toHaveLength(0)
    outbox.wake()
    await settled()
    expect(office.had).toHaveLength(1)
  })

  it('waits as long as the office says, and no number is consumed', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.next.push({ ok: false, upTo: 0, retryAfter: 5_000 })
    await outbox.say('StepCompleted', step(1))
    await settled()
    await clock.pass(4_999)
    expect(office.requests).toHaveLength(1)
    await clock.pass(1_001)
    expect(office.had.map(r => r.number)).toEqual([1])
  })

  it('says so when the office turns the request away, keeps the report, and asks again seldom', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.next.push({ ok: false, upTo: 0, problems: [{ path: '', message: 'this day is closed' }] })
    await outbox.say('StepCompleted', step(1))
    await settled()
    expect(outbox.state()).toMatchObject({ waiting: 1, trouble: { what: 'turned-away' } })
    await clock.pass(60_000)
    expect(outbox.state()).toMatchObject({ waiting: 0, trouble: null })
  })

  it('an answer that deals with nothing is not asked for without end', async () => {
    const { outbox, office, start } = anOutbox()
    await start()
    office.next.push({ ok: true, upTo: 0, refused: [] })
    await outbox.say('StepCompleted', step(1))
    await settled()
    expect(office.requests).toHaveLength(1)
    expect(outbox.state().retryAt).not.toBeNull()
  })

  it('an answer that covers more than was sent removes only what was sent', async () => {
    const { outbox, office, store, clock } = anOutbox()
    await store.open(0)
    for (let i = 1; i <= 250; i++)
      await store.add(
        { at: '2026-11-03T11:00:00Z', kind: 'StepCompleted', body: step(i), dayAt: null },
        OUTBOX.limit,
      )
    office.next.push({ ok: true, upTo: 900, refused: [] }, 'lose-request')
    await outbox.start(0)
    await settled()
    expect(outbox.state()).toMatchObject({ waiting: 50, head: { last: 900, upTo: 900 } })
    await clock.pass(0)
    expect(await outbox.say('StepCompleted', step(251))).toEqual({ ok: true, number: 901 })
  })
})

describe('a gap', () => {
  it('P5: goes back to the number the office asks for and sends from there, refused ones too', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.refuse = r => r.body.step === 'step-2'
    for (const n of [1, 2, 3, 4]) await outbox.say('StepCompleted', step(n))
    await clock.pass(1_000)
    expect(outbox.state()).toMatchObject({ waiting: 0, refused: 1 })
    office.forgetAfter(1)
    office.refuse = () => false
    await outbox.say('StepCompleted', step(5))
    await clock.pass(1_000)
    expect(stepsHad(office)).toEqual(['step-1', 'step-2', 'step-3', 'step-4', 'step-5'])
    expect(outbox.state()).toMatchObject({ waiting: 0, refused: 0, trouble: null })
  })

  it('says so when what the office asks for is gone, and sends nothing over it', async () => {
    const { outbox, office, clock, start } = anOutbox({ upTo: 7 })
    await start()
    await outbox.say('StepCompleted', step(8))
    await clock.pass(1_000)
    expect(outbox.state()).toMatchObject({ waiting: 1, trouble: { what: 'gap', wanted: 1, holds: 8 } })
    expect(office.had).toEqual([])
  })
})

describe('a refused report', () => {
  it('is kept with its problems and said anew under a new number at its own time', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.refuse = r => r.body.step === 'step-1'
    await outbox.say('StepCompleted', step(1))
    await outbox.say('StepCompleted', step(2))
    await clock.pass(1_000)
    const refused = outbox.state().reports.find(r => r.state === 'refused')!
    expect(refused).toMatchObject({ number: 1, problems: [{ path: 'body.what', message: 'refused here' }] })
    await clock.pass(600_000)
    expect(await outbox.mend(refused, 'StepCompleted', step(9))).toEqual({ ok: true, number: 3 })
    await clock.pass(1_000)
    expect(office.had.at(-1)).toMatchObject({ number: 3, at: refused.at, body: step(9) })
    expect(outbox.state()).toMatchObject({ waiting: 0, refused: 0 })
    expect(outbox.state().reports.find(r => r.number === 1)!.state).toBe('mended')
  })

  it('can be left as it is: it stays listed and is not sent', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.refuse = () => true
    await outbox.say('StepCompleted', step(1))
    await clock.pass(1_000)
    await outbox.leave({ device: 'd-1', number: 1 })
    await clock.pass(120_000)
    expect(outbox.state().reports.map(r => r.state)).toEqual(['left'])
    expect(office.requests).toHaveLength(1)
  })
})

describe('a new enrolment of the same device', () => {
  it('offers what waited under the old one, for the same day and precinct only, and says it as its own', async () => {
    const shelf = createShelf()
    const said = { at: '2026-11-03T11:00:00Z', kind: 'StepCompleted', body: step(1), dayAt: null }
    const old = createMemoryStore(owner, shelf)
    await old.open(0)
    await old.add(said, 10)
    const elsewhere = createMemoryStore({ ...owner, device: 'd-0', precinct: 'E-02' }, shelf)
    await elsewhere.open(0)
    await elsewhere.add(said, 10)
    const { outbox, office, clock } = anOutbox({
      store: createMemoryStore({ ...owner, device: 'd-2' }, shelf),
    })
    await outbox.start(0)
    expect(outbox.state().leftovers).toMatchObject([{ device: 'd-1', number: 1 }])
    expect(outbox.state().waiting).toBe(0)
    await outbox.mend(outbox.state().leftovers[0]!, 'StepCompleted', step(1))
    await clock.pass(1_000)
    expect(office.had).toMatchObject([{ number: 1, body: step(1), at: said.at }])
    expect(outbox.state().leftovers).toEqual([])
  })
})

describe('two tabs', () => {
  it('never take the same number, and only one sends at a time', async () => {
    const shelf = createShelf()
    const office = handOffice()
    let tail: Promise<unknown> = Promise.resolve()
    const alone = <T>(work: () => Promise<T>) => {
      const mine = tail.then(work)
      tail = mine.catch(() => undefined)
      return mine
    }
    let inFlight = 0
    let most = 0
    const transport: typeof office.transport = async r => {
      most = Math.max(most, ++inFlight)
      await settled()
      inFlight--
      return office.transport(r)
    }
    const clock = handClock()
    const tabs = [1, 2].map(() =>
      createOutbox({ store: createMemoryStore(owner, shelf), clock, random: () => 0.5, transport, alone }),
    )
    for (const tab of tabs) await tab.start(0)
    await Promise.all(Array.from({ length: 20 }, (_, i) => tabs[i % 2]!.say('StepCompleted', step(i))))
    for (let i = 0; i < 20; i++) await settled()
    expect(office.had.map(r => r.number)).toEqual(Array.from({ length: 20 }, (_, i) => i + 1))
    expect(most).toBe(1)
  })
})

describe('another tab', () => {
  it('is seen while there is no link, without trying any sooner', async () => {
    const shelf = createShelf()
    const { outbox, office, start, clock } = anOutbox({ store: createMemoryStore(owner, shelf) })
    await start()
    office.next.push('lose-request', 'lose-request')
    await outbox.say('StepCompleted', step(1))
    await settled()
    const planned = clock.planned()
    const other = createMemoryStore(owner, shelf)
    await other.add({ at: '2026-11-03T11:00:00Z', kind: 'StepCompleted', body: step(2), dayAt: null }, 10)
    await outbox.look()
    expect(outbox.state().waiting).toBe(2)
    expect(clock.planned()).toEqual(planned)
    expect(office.requests).toHaveLength(1)
  })
})

describe('an office that was restored from a copy', () => {
  async function said(n: number) {
    const made = anOutbox()
    await made.start()
    for (let i = 1; i <= n; i++) await made.outbox.say('StepCompleted', step(i))
    await made.clock.pass(1_000)
    expect(made.outbox.state()).toMatchObject({ waiting: 0, head: { upTo: n } })
    return made
  }

  it('P1, P5: is sent again what it lost, though nothing waits, once a heartbeat says how far it has everything', async () => {
    const { outbox, office, clock } = await said(20)
    const before = structuredClone(office.had)
    office.forgetAfter(6)
    office.next.push('lose-request', { ok: true, upTo: 6, refused: [] }, 'lose-request')
    outbox.officeHas(6)
    await clock.pass(1_000)
    expect(outbox.state()).toMatchObject({ waiting: 14, again: 14, head: { last: 20, upTo: 6 } })
    expect(
      outbox
        .state()
        .reports.slice(0, 15)
        .map(r => r.state),
    ).toEqual([...Array.from({ length: 14 }, () => 'again'), 'had'])
    await clock.pass(2_000)
    expect(office.had).toEqual(before)
    expect(outbox.state()).toMatchObject({
      waiting: 0,
      again: 0,
      trouble: null,
      head: { last: 20, upTo: 20 },
    })
  })

  it('P1, P5: is sent it before what was said since, when that meets a gap', async () => {
    const { outbox, office, clock } = await said(4)
    office.forgetAfter(1)
    await outbox.say('StepCompleted', step(5))
    await clock.pass(1_000)
    expect(office.had.map(r => r.number)).toEqual([1, 2, 3, 4, 5])
    expect(stepsHad(office)).toEqual(['step-1', 'step-2', 'step-3', 'step-4', 'step-5'])
    expect(outbox.state()).toMatchObject({ waiting: 0, again: 0 })
  })

  it('P2: a lower number that was only late changes nothing: the office is asked, and has everything', async () => {
    const { outbox, office, clock } = await said(5)
    const asked = office.requests.length
    outbox.officeHas(3)
    await clock.pass(60_000)
    expect(office.requests.slice(asked).map(r => r.reports)).toEqual([[]])
    expect(outbox.state()).toMatchObject({ waiting: 0, again: 0 })
    outbox.officeHas(5)
    outbox.officeHas(9)
    await clock.pass(60_000)
    expect(office.requests).toHaveLength(asked + 1)
  })

  it('P1: goes on with it after the page was closed, and after a second restore', async () => {
    const shelf = createShelf()
    const office = handOffice()
    const first = anOutbox({ store: createMemoryStore(owner, shelf), office })
    await first.start()
    for (let i = 1; i <= 8; i++) await first.outbox.say('StepCompleted', step(i))
    await first.clock.pass(1_000)
    office.forgetAfter(5)
    office.next.push({ ok: true, upTo: 5, refused: [] }, 'lose-request')
    first.outbox.officeHas(5)
    await settled()
    first.outbox.stop()
    office.forgetAfter(2)
    const second = anOutbox({ store: createMemoryStore(owner, shelf), office })
    await second.start()
    expect(second.outbox.state().again).toBe(3)
    await second.clock.pass(5_000)
    expect(office.had.map(r => r.number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8])
    expect(second.outbox.state()).toMatchObject({ waiting: 0, again: 0 })
  })

  it('a report that was refused, and mended or left, is that again and asks nobody a second time', async () => {
    const { outbox, office, clock, start } = anOutbox()
    await start()
    office.refuse = r => ['step-1', 'step-2', 'step-3'].includes(String(r.body.step))
    for (const n of [1, 2, 3, 4]) await outbox.say('StepCompleted', step(n))
    await clock.pass(1_000)
    const byNumber = (n: number) => outbox.state().reports.find(r => r.number === n)!
    await outbox.mend(byNumber(1), 'StepCompleted', step(9))
    await outbox.leave({ device: 'd-1', number: 2 })
    await clock.pass(1_000)
    const states = () => [1, 2, 3, 4, 5].map(n => byNumber(n).state)
    expect(states()).toEqual(['mended', 'left', 'refused', 'had', 'had'])
    office.forgetAfter(0)
    outbox.officeHas(0)
    await clock.pass(1_000)
    expect(states()).toEqual(['mended', 'left', 'refused', 'had', 'had'])
    expect(byNumber(3).problems).toHaveLength(1)
    expect(office.had.map(r => r.number)).toEqual([4, 5])
  })

  it('keeps nobody from reporting: what is sent again does not count against the limit', async () => {
    const store = createMemoryStore(owner)
    await store.open(0)
    const report = { at: '2026-11-03T11:00:00Z', kind: 'PollsResumed', body: {}, dayAt: null }
    for (let i = 0; i < 3; i++) await store.add(report, 3)
    await store.settle({ numbers: [1, 2, 3], upTo: 3, refused: [], at: 1 })
    expect(await store.goBack(1)).toBe(true)
    expect(await store.add(report, 3)).toMatchObject({ number: 4 })
    expect((await store.waiting(2)).map(r => r.number)).toEqual([1, 2])
    expect((await store.waiting(9)).map(r => r.number)).toEqual([1, 2, 3, 4])
  })

  it('P1: the whole day is held for it, up to 5,000 reports', async () => {
    const store = manySaid(1_200)
    await store.settle({ numbers: numbersTo(1_200), upTo: 1_200, refused: [], at: 1 })
    expect(await store.goBack(1)).toBe(true)
    expect(await store.summary()).toMatchObject({ again: 1_200, head: { last: 1_200, upTo: 0 } })
    expect(KEPT.dealtWith).toBe(OUTBOX.limit)
  })
})

const numbersTo = (n: number) => Array.from({ length: n }, (_, i) => i + 1)

/** A store in which so many reports wait. */
function manySaid(n: number): OutboxStore {
  const shelf = createShelf()
  shelf.heads.set(owner.device, { ...owner, last: n, upTo: 0 })
  const said = {
    device: owner.device,
    at: '2026-11-03T11:00:00Z',
    kind: 'PollsResumed',
    body: {},
    dayAt: null,
  }
  shelf.reports.set(
    owner.device,
    numbersTo(n).map(number => ({ ...said, number, state: 'waiting' })),
  )
  return createMemoryStore(owner, shelf)
}

describe('the list of what was said', () => {
  it('lets go of the oldest that are dealt with, never of what waits', async () => {
    const store = manySaid(KEPT.dealtWith + 120)
    const numbers = numbersTo(KEPT.dealtWith + 100)
    await store.settle({ numbers, upTo: numbers.length, refused: [{ number: 3, problems: [] }], at: 1 })
    const { reports, waiting, refused } = await store.summary()
    expect(waiting).toBe(20)
    expect(refused).toBe(1)
    expect(reports.filter(r => r.state === 'had')).toHaveLength(KEPT.dealtWith)
    expect(reports.at(-1)).toMatchObject({ number: 3, state: 'refused' })
    expect(reports[0]!.number).toBe(KEPT.dealtWith + 120)
    expect(await store.goBack(50)).toBe(false)
  })
})
