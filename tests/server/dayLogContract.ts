import { createHash } from 'node:crypto'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { DayLog, NewEntry, Offered, Stored } from '../../server/domain/log/dayLog.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { all, badLine, incident, line, lines, NINE, note, positions, upTo } from './dayLogTools.ts'

export type Subject = {
  /** Each call may go to another node. */
  log: DayLog
  nodes: DayLog[]
  clock: { now: number }
  newDay(): Promise<string>
  close(): Promise<void>
}

/** What every day log keeps true (server/domain/log/dayLog.ts), whatever stands behind it. */
export function dayLogContract(name: string, open: () => Promise<Subject>): void {
  describe(`the day log, ${name}`, () => {
    let subject: Subject
    let log: DayLog
    let day: string
    beforeAll(async () => {
      subject = await open()
      log = subject.log
    })
    beforeEach(async () => {
      day = await subject.newDay()
      subject.clock.now = NINE
    })
    afterAll(() => subject.close())

    it('P3: gives positions 1, 2, 3 … in the order of acknowledgement', async () => {
      expect(await log.report(day, 'device:a', lines('device:a', 1, 3))).toEqual({
        upTo: 3,
        gap: false,
        refused: [],
      })
      expect(await log.report(day, 'device:b', lines('device:b', 1, 2))).toMatchObject({ upTo: 2 })
      const stored = await all(log, day)
      expect(positions(stored)).toEqual(upTo(5))
      expect(stored.map(s => `${s.entry.source} ${s.entry.number}`)).toEqual([
        'device:a 1',
        'device:a 2',
        'device:a 3',
        'device:b 1',
        'device:b 2',
      ])
      expect(await log.head(day)).toEqual({ position: 5, hash: stored[4]!.hash, recordedAt: NINE })
    })

    it('P13: chains every entry to the one before, as anybody can check by hand', async () => {
      await log.report(day, 'device:a', [
        line('device:a', 1),
        incident('device:a', 2, 'dark since nine'),
        line('device:a', 3),
      ])
      let hash = '0'.repeat(64)
      for (const stored of await all(log, day)) {
        hash = createHash('sha256').update(`${hash}\n${stored.text}`, 'utf8').digest('hex')
        expect(stored.hash).toBe(hash)
        expect(Object.keys(JSON.parse(stored.text))).toEqual(
          'day position kind version precinct source number occurredAt recordedAt origin body'.split(' '),
        )
      }
      expect(await log.verify(day)).toEqual({
        ok: true,
        entries: 3,
        head: { position: 3, hash, recordedAt: NINE },
      })
    })

    it('P3: recordedAt never goes back, also when the clock does', async () => {
      await log.report(day, 'device:a', [line('device:a', 1)])
      subject.clock.now = NINE - 10 * MINUTE
      const head = await log.append(day, at => note('system', null, at))
      expect(head.recordedAt).toBe(NINE)
      subject.clock.now = NINE + MINUTE
      await log.report(day, 'device:a', [line('device:a', 2)])
      expect((await all(log, day)).map(s => s.entry.recordedAt)).toEqual([NINE, NINE, NINE + MINUTE])
      expect((await all(log, day)).map(s => s.entry.occurredAt)).toEqual([
        NINE - 5_000,
        NINE,
        NINE + MINUTE - 5_000,
      ])
    })

    it('P2: the same reports sent again change nothing and are acknowledged again', async () => {
      const batch = [...lines('device:a', 1, 2), badLine(3), line('device:a', 4)]
      const first = await log.report(day, 'device:a', batch)
      const head = await log.head(day)
      expect(first).toEqual({
        upTo: 4,
        gap: false,
        refused: [{ number: 3, problems: [{ path: 'body.inLine', message: 'too small' }] }],
      })
      expect(await log.report(day, 'device:a', batch)).toEqual(first)
      expect(await log.report(day, 'device:a', batch.slice(1, 3))).toEqual(first)
      expect(await log.head(day)).toEqual(head)
    })

    it('P2: one batch that holds a report twice writes it once', async () => {
      const batch = [line('device:a', 1), line('device:a', 1), line('device:a', 2)]
      expect(await log.report(day, 'device:a', batch)).toEqual({ upTo: 2, gap: false, refused: [] })
      expect(await all(log, day)).toHaveLength(2)
    })

    it('P2: the same batch from many callers at once is written once and acknowledged to all', async () => {
      const outcomes = await Promise.all(
        upTo(12).map(() => log.report(day, 'device:a', lines('device:a', 1, 20))),
      )
      expect(new Set(outcomes.map(o => JSON.stringify(o)))).toEqual(
        new Set([JSON.stringify({ upTo: 20, gap: false, refused: [] })]),
      )
      expect((await all(log, day)).map(s => s.entry.number)).toEqual(upTo(20))
    })

    it('P2: a number already used with other content is refused as number-reused and changes nothing', async () => {
      await log.report(day, 'device:a', [line('device:a', 1), badLine(2)])
      const problems = (n: number) => [
        { path: 'number', message: expect.stringContaining(`number-reused: number ${n} `) },
      ]
      const other = [line('device:a', 1, 99), line('device:a', 2, 98), line('device:a', 3)]
      const answer = {
        upTo: 3,
        gap: false,
        refused: [1, 2].map(number => ({ number, problems: problems(number) })),
      }
      expect(await log.report(day, 'device:a', other)).toEqual(answer)
      expect(await log.report(day, 'device:a', other)).toEqual(answer)
      expect((await all(log, day)).map(s => s.entry.body)).toEqual([{ inLine: 1 }, { inLine: 3 }])
      expect(await log.report(day, 'device:a', [badLine(2)])).toMatchObject({
        refused: [{ number: 2, problems: [{ message: 'too small' }] }],
      })
    })

    it('says once how many reports were newly kept aside, with them, and nothing of what was refused for good', async () => {
      const kept = (howMany: number, recordedAt: number): NewEntry => ({
        kind: 'ReportsKeptAside',
        version: 1,
        precinct: 'E-01',
        source: 'system',
        number: null,
        occurredAt: recordedAt,
        origin: { via: 'system' },
        body: { device: 'a', howMany },
      })
      const report = (offered: Offered[]) => log.report(day, 'device:a', offered, kept)
      await report([line('device:a', 1), badLine(2)])
      await report([{ ...badLine(3), aside: () => null }, { ...badLine(4), aside: () => null }, badLine(5)])
      await report([{ ...badLine(3), aside: () => null }])
      const other = [line('device:a', 1, 99)]
      await Promise.all([report(other), report(other), report(other)])
      await report(other)
      expect((await all(log, day)).map(s => [s.entry.kind, s.entry.body])).toEqual([
        ['LineReported', { inLine: 1 }],
        ['ReportsKeptAside', { device: 'a', howMany: 2 }],
        ['ReportsKeptAside', { device: 'a', howMany: 1 }],
      ])
    })

    it('takes nothing after a gap, and says where it was', async () => {
      expect(await log.report(day, 'device:a', [line('device:a', 2)])).toEqual({
        upTo: 0,
        gap: true,
        refused: [],
      })
      expect(
        await log.report(day, 'device:a', [line('device:a', 1), line('device:a', 3), line('device:a', 4)]),
      ).toEqual({
        upTo: 1,
        gap: true,
        refused: [],
      })
      expect(await log.report(day, 'device:a', lines('device:a', 2, 4))).toEqual({
        upTo: 4,
        gap: false,
        refused: [],
      })
      await expect.poll(() => log.upTo(day, 'device:a'), { timeout: 5_000 }).toBe(4)
      expect(await log.upTo(day, 'device:nobody')).toBe(0)
    })

    it('counts a refused report as dealt with, so the ones after it are not held up', async () => {
      expect(await log.report(day, 'device:a', [badLine(1)])).toMatchObject({
        upTo: 1,
        refused: [{ number: 1 }],
      })
      await expect.poll(() => log.upTo(day, 'device:a'), { timeout: 5_000 }).toBe(1)
      expect(await log.report(day, 'device:a', [line('device:a', 2)])).toEqual({
        upTo: 2,
        gap: false,
        refused: [],
      })
      expect(positions(await all(log, day))).toEqual([1])
    })

    it('an empty batch is answered with how far it came', async () => {
      await log.report(day, 'device:a', lines('device:a', 1, 3))
      expect(await log.report(day, 'device:a', [])).toEqual({ upTo: 3, gap: false, refused: [] })
    })

    it('of two commands that both want one call, exactly one wins', async () => {
      const { nodes } = subject
      const taken = nodes.map(() => 0)
      for (const [i, node] of nodes.entries())
        await node.follow(day, 0, entries => {
          taken[i]! += entries.filter(e => e.entry.kind === 'CallTaken').length
        })
      const take = (n: number) =>
        nodes[n % nodes.length]!.decide(day, now =>
          taken[n % nodes.length]! > 0
            ? { entries: [], result: 'lost' }
            : { entries: [note(`command:c${n}`, 1, now)], result: 'won' },
        )
      const noise = upTo(40).map(n => log.report(day, `device:${n}`, lines(`device:${n}`, 1, 5)))
      const results = await Promise.all(upTo(10).map(take))
      await Promise.all(noise)
      expect(results.map(r => r.result).sort()).toEqual([...upTo(9).map(() => 'lost'), 'won'])
      expect((await all(log, day)).filter(s => s.entry.kind === 'CallTaken')).toHaveLength(1)
    })

    it('P2: a command that is sent again writes nothing again', async () => {
      const once = () =>
        log.decide(day, now => ({
          entries: [note('command:c', 1, now), note('command:c', 2, now)],
          result: 'done',
        }))
      expect(await once()).toMatchObject({ result: 'done', head: { position: 2 } })
      expect(await once()).toMatchObject({ result: 'done', head: { position: 2 } })
      expect(positions(await all(log, day))).toEqual([1, 2])
    })

    it('P3: followers get every entry once and in order, from where they ask, before the writer is answered', async () => {
      await log.report(day, 'device:a', lines('device:a', 1, 10))
      const seen: Stored[] = []
      const late: number[] = []
      const stop = await log.follow(day, 0, entries => seen.push(...entries))
      await log.follow(day, 7, entries => late.push(...positions(entries)))
      expect(positions(seen)).toEqual(upTo(10))
      expect(late).toEqual([8, 9, 10])
      const offered = [incident('device:a', 11, 'a fuse'), badLine(12), line('device:a', 13)]
      await log.report(day, 'device:a', offered)
      await expect.poll(() => positions(seen), { timeout: 5_000 }).toEqual(upTo(12))
      await expect.poll(() => late, { timeout: 5_000 }).toEqual([8, 9, 10, 11, 12])
      expect(seen).toEqual(await all(log, day))
      stop()
      await log.report(day, 'device:a', [line('device:a', 14)])
      await expect.poll(() => late.at(-1), { timeout: 5_000 }).toBe(13)
      expect(seen).toHaveLength(12)
    })

    it('refuses to follow from a position that the log has not', async () => {
      await log.report(day, 'device:a', lines('device:a', 1, 3))
      await expect(log.follow(day, 4, () => {})).rejects.toThrow('another log')
    })

    it('one caller’s fault costs nobody else anything', async () => {
      const broken: Offered = {
        number: 2,
        content: 1n,
        sent: '{}',
        make: () => {
          throw new Error('broken maker')
        },
      }
      const [bad, good, thrown, poison] = await Promise.allSettled([
        log.report(day, 'device:a', [line('device:a', 1), broken]),
        log.report(day, 'device:b', lines('device:b', 1, 3)),
        log.decide(day, () => {
          throw new Error('broken decider')
        }),
        log.append(day, at => ({ ...note('system', null, at), precinct: 'E-\u0000' })),
      ])
      expect(bad).toMatchObject({ status: 'rejected', reason: { message: 'broken maker' } })
      expect(thrown).toMatchObject({ status: 'rejected', reason: { message: 'broken decider' } })
      expect(poison.status).toBe('rejected')
      expect(good).toMatchObject({ status: 'fulfilled', value: { upTo: 3 } })
      expect(await log.report(day, 'device:a', lines('device:a', 1, 2))).toMatchObject({
        upTo: 2,
        refused: [],
      })
      expect(positions(await all(log, day))).toEqual(upTo(5))
      expect(await log.verify(day)).toMatchObject({ ok: true })
    })

    it('a day that is not there is an error', async () => {
      await expect(log.report('nowhere', 'device:a', [line('device:a', 1)])).rejects.toThrow(
        'there is no day nowhere',
      )
    })

    it('words can be erased, once, and the chain still verifies', async () => {
      await log.report(day, 'device:a', [
        incident('device:a', 1, 'said by Noor, 555-0100'),
        incident('device:a', 2, 'stays'),
      ])
      const before = await all(log, day)
      expect(before[0]!.detail).toEqual({ what: 'said by Noor, 555-0100' })
      expect(before[0]!.text).not.toContain('Noor')
      expect(await log.erase(day, 1, 'a name', 'p-1')).toBe(true)
      expect(await log.erase(day, 1, 'a name', 'p-1')).toBe(false)
      expect(await log.erase(day, 3, 'nothing there', 'p-1')).toBe(false)
      const after = await all(log, day)
      expect(after.slice(0, 2).map(s => [s.hash, s.detail])).toEqual([
        [before[0]!.hash, undefined],
        [before[1]!.hash, { what: 'stays' }],
      ])
      expect(after[2]!.entry).toMatchObject({
        kind: 'DetailErased',
        precinct: 'E-02',
        body: { position: 1, why: 'a name' },
      })
      expect(after).toHaveLength(3)
      expect(await log.verify(day)).toMatchObject({ ok: true, entries: 3 })
    })

    it('the same words never have the same hash: they are salted', async () => {
      await log.report(day, 'device:a', [incident('device:a', 1, 'dark'), incident('device:a', 2, 'dark')])
      const hashes = (await all(log, day)).map(s => s.entry.origin.detailHash)
      expect(hashes[0]).toMatch(/^[0-9a-f]{64}$/)
      expect(hashes[0]).not.toBe(hashes[1])
    })

    it('reads one precinct’s entries latest first', async () => {
      await log.report(day, 'device:a', lines('device:a', 1, 4))
      await log.report(day, 'device:b', [incident('device:b', 1, 'x')])
      expect(positions(await log.readPrecinct(day, 'E-01', 3))).toEqual([4, 3, 2])
      expect(positions(await log.readPrecinct(day, 'E-01', 3, 2))).toEqual([1])
      expect(positions(await log.readPrecinct(day, 'E-02', 3))).toEqual([5])
    })

    it('P3: a storm of sources, each with several batches under way, leaves no gap and keeps every order', async () => {
      const seen: number[] = []
      await log.follow(day, 0, entries => seen.push(...positions(entries)))
      const sources = upTo(50).map(n => `device:${n}`)
      await Promise.all(
        sources.flatMap(source => upTo(8).map(b => log.report(day, source, lines(source, b * 5 - 4, b * 5)))),
      )
      // Batches of one source that were sent together over two nodes may find a gap: the outbox sends them again.
      for (const source of sources) await log.report(day, source, lines(source, 1, 40))
      const stored = await all(log, day)
      expect(positions(stored)).toEqual(upTo(2_000))
      for (const source of sources)
        expect(stored.filter(s => s.entry.source === source).map(s => s.entry.number)).toEqual(upTo(40))
      await expect.poll(() => seen.length, { timeout: 5_000 }).toBe(2_000)
      expect(seen).toEqual(upTo(2_000))
      expect(await log.verify(day)).toMatchObject({ ok: true, entries: 2_000 })
    })
  })
}
