import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { openDays } from '../../db/days.ts'
import { QUEUE_LIMITS } from '../../db/log/queue.ts'
import { isTransient } from '../../db/trouble.ts'
import { Busy, Unavailable } from '../../server/domain/log/dayLog.ts'
import { type TcpProxy, tcpProxy } from '../support/tcpProxy.ts'
import {
  addDay,
  addNode,
  all,
  aWorld,
  line,
  lines,
  type Node,
  note,
  positions,
  upTo,
  type World,
} from './dayLogTools.ts'

let world: World
let proxy: TcpProxy
beforeEach(async () => {
  world = await aWorld()
  proxy = await tcpProxy(world.url)
})
afterEach(async () => {
  await world.close()
  await proxy.close()
})

/** A node whose line to the database can be cut. */
const remote = (options = {}): Node => addNode(world, proxy.url, options)

async function killBackends(name: string): Promise<number> {
  const killed = await world.owner`
    select pg_terminate_backend(pid) from pg_stat_activity where application_name like ${`${name}%`} and datname = current_database()`
  return killed.length
}

describe('the day log in trouble', () => {
  it('P1: what was acknowledged is in the log, once, however often the database’s connections are killed', async () => {
    const { log } = world.nodes[0]!
    const followed: number[] = []
    await log.follow(world.day, 0, entries => followed.push(...positions(entries)))
    const acknowledged = new Map<string, number>()
    let running = true
    const devices = upTo(20).map(async d => {
      const source = `device:${d}`
      for (let next = 1; running; ) {
        const outcome = await log.report(world.day, source, lines(source, next, next + 4)).catch(() => null)
        if (!outcome) continue
        acknowledged.set(source, outcome.upTo)
        next = outcome.upTo + 1
      }
    })
    let kills = 0
    const soFar = () => [...acknowledged.values()].reduce((sum, n) => sum + n, 0)
    for (let i = 0; i < 12 || (soFar() < 300 && i < 60); i++) {
      await sleep(60 + 120 * Math.random())
      kills += await killBackends('node 1')
    }
    running = false
    await Promise.all(devices)
    const stored = await all(log, world.day)
    expect(kills).toBeGreaterThan(10)
    expect(stored.length).toBeGreaterThan(200)
    expect(positions(stored)).toEqual(upTo(stored.length))
    for (const [source, number] of acknowledged) {
      const numbers = stored.filter(s => s.entry.source === source).map(s => s.entry.number)
      expect(numbers).toEqual(upTo(numbers.length))
      expect(numbers.length).toBeGreaterThanOrEqual(number)
    }
    await expect.poll(() => followed.length, { timeout: 10_000 }).toBe(stored.length)
    expect(followed).toEqual(positions(stored))
    expect(await log.verify(world.day)).toMatchObject({ ok: true })
  })

  it('P1, P14: readers wait a little and stores spend once, however often their connections are killed', async () => {
    const { log, sql } = world.nodes[0]!
    const days = openDays(sql)
    const store = openAccessStore(sql)
    await log.report(world.day, 'device:a', lines('device:a', 1, 500))
    await store.addPerson({ id: 'p-1', name: 'Rosa Lindqvist', role: 'desk' }, 1, 'p-odile')
    let running = true
    const failures: unknown[] = []
    const counts = { reads: 0, spent: 0, lost: 0 }
    const again = async (work: (n: number) => Promise<unknown>) => {
      for (let n = 1; running; n++) await work(n)
    }
    const reading = (work: (n: number) => Promise<unknown>) =>
      again(n =>
        work(n).then(
          () => counts.reads++,
          error => failures.push(error),
        ),
      )
    /** Two callers at once; a caller whose answer was lost knows nothing. */
    const racing = (name: string, work: (key: string, caller: string) => Promise<boolean>) =>
      again(async n => {
        const asked = ['x', 'y'].map(caller =>
          work(`${name}-${n}`, caller).catch(error => {
            if (!isTransient(error)) failures.push(error)
            counts.lost++
            return false
          }),
        )
        const had = (await Promise.all(asked)).filter(Boolean).length
        if (had > 1) failures.push(`${had} callers have ${name}-${n}`)
        counts.spent += had
      })
    const expiresAt = Date.UTC(2030, 0)
    const work = [
      reading(async n => expect(await log.read(world.day, n % 400, 100)).toHaveLength(100)),
      reading(async () => expect(await log.readPrecinct(world.day, 'E-01', 50)).toHaveLength(50)),
      reading(async () => expect(await log.head(world.day)).toMatchObject({ position: 500 })),
      reading(async n => expect(await log.upTo(world.day, `device:${n}`)).toBe(0)),
      reading(async () => expect(await log.verify(world.day)).toMatchObject({ ok: true, entries: 500 })),
      reading(async n => {
        await days.saveClock(world.day, n, 1)
        expect(await days.get(world.day)).toMatchObject({ clockAt: n })
      }),
      reading(async () => expect((await store.people()).length).toBe(1)),
      racing('code', async (key, caller) => {
        const code = { hash: key, day: world.day, precinct: key, issuedAt: 1, replaces: null }
        if (caller === 'x') await store.addCode(code)
        const id = `${key}-${caller}`
        return (await store.spendCode(key, { id, label: '', keyHash: id, enrolledAt: 2 })).ok
      }),
      racing('link', async (key, caller) => {
        if (caller === 'x')
          await store.addLink({ hash: key, person: 'p-1', expiresAt, purpose: 'sign-in' }, 1, 'p-odile')
        return (await store.spendLink(key, { hash: `${key}-${caller}`, begunAt: 2, expiresAt })) !== null
      }),
      again(n => addDay(sql, `day-${n}`).catch(error => failures.push(error))),
    ]
    let kills = 0
    const enough = () => counts.reads > 60 && counts.spent > 10
    for (let i = 0; i < 15 || (!enough() && i < 60); i++) {
      await sleep(100 + 250 * Math.random())
      kills += await killBackends('node 1')
    }
    running = false
    await Promise.all(work)
    expect(failures).toEqual([])
    expect(kills).toBeGreaterThan(15)
    expect(enough()).toBe(true)
    const halves = await world.owner`
      select hash from enrol_code c
      where (used_at is null) <> (not exists (select 1 from device where precinct = c.precinct))
      union all select precinct from device where day = ${world.day} group by precinct having count(*) > 1
      union all select hash from sign_in_link l
      where (select count(*) from session where hash like l.hash || '-_') <> (used_at is not null)::int
      union all select id from day where not exists (select 1 from head where day = day.id)`
    expect(halves).toEqual([])
    const [made] = await world.owner<{ n: number }[]>`
      select (select count(*) from device) + (select count(*) from session) as n`
    expect(made!.n).toBeGreaterThanOrEqual(counts.spent)
  })

  it('P1, P2: a commit whose answer was lost is found to be done, and not done again', async () => {
    const { log } = remote()
    const followed: number[] = []
    await log.follow(world.day, 0, entries => followed.push(...positions(entries)))
    await log.report(world.day, 'device:a', [line('device:a', 1)])
    const cut = proxy.cutAfterAnswerTo('commit')
    let decisions = 0
    // Neither of these has a number by which a second writing could be noticed.
    const results = await Promise.all([
      log.append(world.day, at => note('system', null, at)),
      log.report(world.day, 'device:a', lines('device:a', 2, 4)),
      log.decide(world.day, now => {
        decisions++
        return { entries: [note('system', null, now)], result: 'decided' }
      }),
      cut,
    ])
    expect(results[1]).toEqual({ upTo: 4, gap: false, refused: [] })
    expect(results[2]).toMatchObject({ result: 'decided' })
    expect(decisions).toBe(1)
    expect(positions(await all(log, world.day))).toEqual(upTo(6))
    expect(followed).toEqual(upTo(6))
    expect(await log.report(world.day, 'device:a', [line('device:a', 5)])).toMatchObject({ upTo: 5 })
  })

  it('P2: refused reports whose commit’s answer was lost are answered and kept once', async () => {
    const { log } = remote()
    const cut = proxy.cutAfterAnswerTo('commit')
    const bad = { number: 1, content: 5n, sent: '{}', problems: [{ path: 'kind', message: 'unknown' }] }
    const outcome = await log.report(world.day, 'device:a', [bad])
    await cut
    expect(outcome).toEqual({ upTo: 1, gap: false, refused: [{ number: 1, problems: bad.problems }] })
    const [row] = await world.owner<{ n: number }[]>`select count(*) as n from refused`
    expect(row!.n).toBe(1)
  })

  it('waits for a database that comes back, and then writes what waited in order', async () => {
    const { log } = remote()
    await log.report(world.day, 'device:a', [line('device:a', 1)])
    await proxy.shut()
    const waiting = upTo(5).map(n => log.report(world.day, 'device:a', [line('device:a', n + 1)]))
    await sleep(150)
    await proxy.open()
    expect((await Promise.all(waiting)).map(o => o.upTo)).toEqual([2, 3, 4, 5, 6])
    expect((await all(log, world.day)).map(s => s.entry.number)).toEqual(upTo(6))
  })

  it('says Unavailable after its patience and acknowledges nothing that was not committed', async () => {
    const { log } = remote({ patienceMs: 200 })
    await log.report(world.day, 'device:a', [line('device:a', 1)])
    await proxy.shut()
    const results = await Promise.allSettled(
      upTo(3).map(n => log.report(world.day, 'device:a', [line('device:a', n + 1)])),
    )
    for (const result of results) {
      const { reason } = result as PromiseRejectedResult
      expect(reason).toBeInstanceOf(Unavailable)
      expect(reason.retryAfter).toBeGreaterThanOrEqual(1_000)
    }
    await proxy.open()
    const again = () => log.report(world.day, 'device:a', lines('device:a', 2, 4)).catch(() => null)
    await expect.poll(again, { timeout: 5_000 }).toEqual({ upTo: 4, gap: false, refused: [] })
    expect(positions(await all(log, world.day))).toEqual(upTo(4))
  })

  it('P10: says Busy at its bound, takes nothing of that call, and goes on with the rest', async () => {
    const { log } = world.nodes[0]!
    const full = QUEUE_LIMITS.waiting / 500
    const taken = upTo(full).map(n => log.report(world.day, `device:${n}`, lines(`device:${n}`, 1, 500)))
    const refused = log.report(world.day, 'device:late', lines('device:late', 1, 500))
    await expect(refused).rejects.toBeInstanceOf(Busy)
    await expect(refused).rejects.toMatchObject({ retryAfter: expect.any(Number) })
    await Promise.all(taken)
    expect(await log.upTo(world.day, 'device:late')).toBe(0)
    expect(await log.report(world.day, 'device:late', lines('device:late', 1, 500))).toMatchObject({
      upTo: 500,
    })
    expect(await log.head(world.day)).toMatchObject({ position: QUEUE_LIMITS.waiting + 500 })
  })

  it('closing writes what waits, and takes no more', async () => {
    const { log } = world.nodes[0]!
    const waiting = upTo(50).map(n => log.report(world.day, `device:${n}`, lines(`device:${n}`, 1, 10)))
    await log.close()
    await Promise.all(waiting)
    expect((await log.head(world.day)).position).toBe(500)
    await expect(log.append(world.day, at => note('system', null, at))).rejects.toBeInstanceOf(Unavailable)
  })
})
