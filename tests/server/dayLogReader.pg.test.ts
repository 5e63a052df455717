import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { watchPresence } from '../../db/presence.ts'
import { openReader, type Reader } from '../../db/reader.ts'
import { isTransient } from '../../db/trouble.ts'
import { type TcpProxy, tcpProxy } from '../support/tcpProxy.ts'
import { aWorld, upTo, type World } from './dayLogTools.ts'

/** As far as it knows the database is there: what the reader does by itself is seen. */
const presence = watchPresence(async () => {})

let world: World
let proxy: TcpProxy
let reader: Reader
beforeEach(async () => {
  world = await aWorld()
  proxy = await tcpProxy(world.url)
  reader = openReader(proxy.url, { max: 4, name: 'the reader', role: 'sunup_app', presence })
})
afterEach(async () => {
  await reader.end({ timeout: 1 })
  await world.close()
  await proxy.close()
})

async function killReaders(): Promise<number> {
  const killed = await world.owner`
    select pg_terminate_backend(pid) from pg_stat_activity
    where application_name = 'the reader' and datname = current_database()`
  return killed.length
}

describe('the reader', () => {
  it('opens nothing before it is asked, runs in the program’s role, and keeps numbers, dates and lists whole', async () => {
    const connected = () =>
      world.owner`select 1 from pg_stat_activity where application_name = 'the reader' and datname = current_database()`
    expect(await connected()).toHaveLength(0)
    const texts = ['plain', 'a "b" \\ {c,d}', '', 'null', 'line\nbreak', 'ü–☀']
    const rows = await reader`
      select current_user::text as role, ${2 ** 53 - 1}::bigint as big, count(*) as n, date '2026-11-03' as date
      from unnest(${texts}::text[]) as t where t = any(${texts})`
    expect(rows).toMatchObject([{ role: 'sunup_app', big: 2 ** 53 - 1, n: texts.length, date: '2026-11-03' }])
    expect([...(await reader`select t from unnest(${texts}::text[]) as t`)].map(r => r.t)).toEqual(texts)
    expect(await connected()).toHaveLength(1)
  })

  it('leaves no statement waiting when connections are killed in every phase of the turn', async () => {
    let [asked, under, longestMs] = [0, 0, 0]
    const wrong: unknown[] = []
    let running = true
    const ask = async () => {
      const n = ++asked
      const start = performance.now()
      under++
      await reader`select ${n}::int as n, repeat('x', 3000) as long`
        .then(([row]) => expect(row).toMatchObject({ n }))
        .catch(error => wrong.push(error))
      under--
      longestMs = Math.max(longestMs, performance.now() - start)
    }
    // Asked late in a turn, a connection that was lost early in it still looks open.
    const asking = (async () => {
      while (running) {
        await new Promise(resolve => setImmediate(resolve))
        if (under < 40) void ask()
      }
    })()
    let kills = 0
    for (let i = 0; i < 25; i++) {
      await sleep(20 + 130 * Math.random())
      kills += await killReaders()
    }
    running = false
    await asking
    await expect.poll(() => under, { timeout: 20_000 }).toBe(0)
    // Killed at each of its tries, a statement may say so: as trouble that passes, and seldom.
    expect(wrong.filter(error => !isTransient(error))).toEqual([])
    expect(wrong.length).toBeLessThan(asked / 10)
    expect(kills).toBeGreaterThan(15)
    expect(asked).toBeGreaterThan(100)
    // A statement stuck in a lost connection waits for the time-out of connecting, ten seconds, or for ever.
    expect(longestMs).toBeLessThan(8_000)
  })

  it('a connection that is killed at its very beginning costs a pause, or an error that passes', async () => {
    const readers = upTo(8).map(() => openReader(world.url, { max: 1, name: 'the reader', presence }))
    let running = true
    const killing = (async () => {
      while (running) await killReaders()
    })()
    const answers = readers.map((each, n) =>
      each`select ${n}::int as n`.then(([row]) => row.n === n, isTransient),
    )
    await sleep(1_000)
    running = false
    await killing
    expect(await Promise.all(answers)).toEqual(readers.map(() => true))
    for (const each of readers) {
      expect((await each`select 1 as n`)[0]).toMatchObject({ n: 1 })
      await each.end({ timeout: 1 })
    }
  })

  it('shows a database that is away for a second as a wait, and one that stays away as passing trouble', async () => {
    await reader`select 1`
    await proxy.shut()
    const asked = reader`select 7 as n`
    await sleep(700)
    await proxy.open()
    expect((await asked)[0]).toMatchObject({ n: 7 })
    await proxy.shut()
    const error = await reader`select 1`.then(
      () => null,
      e => e,
    )
    expect(isTransient(error)).toBe(true)
    await proxy.open()
    expect((await reader`select 8 as n`)[0]).toMatchObject({ n: 8 })
  })

  it('asks a faulty statement once', async () => {
    const start = performance.now()
    await expect(reader`select 1 / ${0}::int`).rejects.toMatchObject({ code: '22012' })
    await expect(reader`insert into entry (day, position) values ('x', 1)`).rejects.toMatchObject({
      code: '23502',
    })
    expect(performance.now() - start).toBeLessThan(1_000)
  })

  it('ends at once where nothing is asked, and says so to whoever comes later', async () => {
    await reader`select 1`
    const slow = reader`select pg_sleep(0.3), 'done' as said`
    await sleep(50)
    const ending = reader.end({ timeout: 5 })
    await expect(reader`select 1`).rejects.toMatchObject({ code: 'CONNECTION_ENDED' })
    expect((await slow)[0]).toMatchObject({ said: 'done' })
    const start = performance.now()
    await ending
    expect(performance.now() - start).toBeLessThan(2_000)
  })
})
