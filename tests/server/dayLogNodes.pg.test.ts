import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openDayLog } from '../../db/dayLog.ts'
import { addDay, all, aWorld, line, lines, note, positions, upTo, type World } from './dayLogTools.ts'

let world: World
beforeEach(async () => {
  world = await aWorld(2)
})
afterEach(() => world.close())

describe('two nodes on one database', () => {
  it('P3: write at once without a gap, and every follower on either sees the same order', async () => {
    const [a, b] = world.nodes.map(n => n.log)
    const seen: string[][] = [[], [], []]
    const at: number[][] = [[], [], []]
    for (const [i, log] of [a!, b!, b!].entries())
      await log.follow(world.day, 0, entries => {
        seen[i]!.push(...entries.map(e => `${e.entry.source} ${e.entry.number}`))
        at[i]!.push(...positions(entries))
      })
    await Promise.all(
      upTo(40).map(async n => {
        const log = n % 2 ? a! : b!
        for (let batch = 0; batch < 10; batch++)
          await log.report(world.day, `device:${n}`, lines(`device:${n}`, batch * 5 + 1, batch * 5 + 5))
      }),
    )
    const stored = await all(a!, world.day)
    expect(positions(stored)).toEqual(upTo(2_000))
    for (const i of [0, 1, 2]) {
      await expect.poll(() => at[i]!.length, { timeout: 5_000 }).toBe(2_000)
      expect(at[i]).toEqual(upTo(2_000))
      expect(seen[i]).toEqual(stored.map(s => `${s.entry.source} ${s.entry.number}`))
    }
    expect(await b!.verify(world.day)).toMatchObject({ ok: true, entries: 2_000 })
  })

  it('P2: one device’s reports sent through both at once are written once', async () => {
    for (let from = 1; from <= 101; from += 20) {
      const batch = lines('device:a', from, from + 19)
      const outcomes = await Promise.all(
        upTo(8).map(n => world.nodes[n % 2]!.log.report(world.day, 'device:a', batch)),
      )
      for (const outcome of outcomes) expect(outcome).toEqual({ upTo: from + 19, gap: false, refused: [] })
    }
    expect((await all(world.nodes[0]!.log, world.day)).map(s => s.entry.number)).toEqual(upTo(120))
  })

  it('P2: a cloned device that speaks through the other node is number-reused there too', async () => {
    const [a, b] = world.nodes.map(n => n.log)
    await a!.report(world.day, 'device:a', lines('device:a', 1, 3))
    expect(await b!.report(world.day, 'device:a', [line('device:a', 3, 77)])).toMatchObject({
      upTo: 3,
      refused: [{ number: 3 }],
    })
    const kept = await world.owner<{ aside: boolean; sent: string }[]>`select aside, sent from refused`
    expect(kept.map(r => [r.aside, JSON.parse(r.sent).body])).toEqual([[true, { inLine: 77 }]])
  })

  it('P9: a refusal taken by one node is known to the other under the lock', async () => {
    const [a, b] = world.nodes.map(n => n.log)
    await a!.report(world.day, 'device:a', [line('device:a', 1)])
    await b!.report(world.day, 'device:a', [
      { number: 2, content: 9n, sent: '{}', problems: [{ path: '', message: 'no' }] },
    ])
    expect(await a!.report(world.day, 'device:a', [line('device:a', 3)])).toEqual({
      upTo: 3,
      gap: false,
      refused: [],
    })
  })

  it('P9: of two commands on two nodes exactly one wins', async () => {
    const taken = [0, 0]
    for (const [i, { log }] of world.nodes.entries())
      await log.follow(world.day, 0, entries => {
        taken[i]! += entries.filter(e => e.entry.kind === 'CallTaken').length
      })
    const results = await Promise.all(
      upTo(10).map(n =>
        world.nodes[n % 2]!.log.decide(world.day, now =>
          taken[n % 2]! > 0
            ? { entries: [], result: 'lost' }
            : { entries: [note(`command:${n}`, 1, now)], result: 'won' },
        ),
      ),
    )
    expect(results.filter(r => r.result === 'won')).toHaveLength(1)
  })

  it('P3: the poll brings what a bell did not: a node whose bell is dead sees everything', async () => {
    const seen: number[] = []
    await world.nodes[1]!.log.follow(world.day, 0, entries => seen.push(...positions(entries)))
    const killBell = () => world.owner`
      select pg_terminate_backend(pid) from pg_stat_activity
      where application_name = 'node 2' and query ilike 'listen%' and datname = current_database()`
    await expect.poll(async () => (await killBell()).length, { timeout: 5_000 }).toBe(1)
    await world.nodes[0]!.log.report(world.day, 'device:a', lines('device:a', 1, 5))
    await expect.poll(() => seen, { timeout: 5_000 }).toEqual(upTo(5))
    await world.nodes[0]!.log.report(world.day, 'device:a', lines('device:a', 6, 9))
    await expect.poll(() => seen, { timeout: 5_000 }).toEqual(upTo(9))
  })

  it('the bell is quicker than the poll', async () => {
    const { sql } = world.nodes[1]!
    const slow = openDayLog(sql, { now: () => world.clock.now, pollMs: 60_000 })
    const seen: number[] = []
    await slow.follow(world.day, 0, entries => seen.push(...positions(entries)))
    await expect
      .poll(async () => {
        const listening = await world.owner`
        select 1 from pg_stat_activity where application_name = 'node 2' and query ilike 'listen%'`
        return listening.length
      })
      .toBeGreaterThan(0)
    await world.nodes[0]!.log.report(world.day, 'device:a', lines('device:a', 1, 5))
    await expect.poll(() => seen, { timeout: 5_000 }).toEqual(upTo(5))
    await slow.close()
  })

  it('one commit may span several days, each with its own positions', async () => {
    await addDay(world.nodes[0]!.sql, 'another-day')
    const { log } = world.nodes[0]!
    await Promise.all(
      upTo(20).map(n =>
        log.report(n % 2 ? world.day : 'another-day', `device:${n}`, lines(`device:${n}`, 1, 3)),
      ),
    )
    for (const day of [world.day, 'another-day']) {
      expect(positions(await all(log, day))).toEqual(upTo(30))
      expect(await log.verify(day)).toMatchObject({ ok: true, entries: 30 })
    }
    const [row] = await world.owner<{ together: number }[]>`
      select count(*) as together from entry a join entry b on a.xmin = b.xmin and a.day < b.day`
    expect(row!.together).toBeGreaterThan(0)
  })
})
