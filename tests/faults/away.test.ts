import { type ChildProcess, spawn } from 'node:child_process'
import { chmodSync, mkdtempSync, renameSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { connect } from '../../db/connect.ts'
import { stopEmbedded } from '../../db/embedded.ts'
import { checkoutFolder } from '../../server/where.ts'
import { freshDatabase } from '../support/database.ts'
import { electionFolder } from '../support/planFolder.ts'
import { addressOf, isAlive, type Program, postgresOf, startServer, sunup } from '../support/programs.ts'
import { connectDevice } from '../support/runSunup.ts'
import { type TcpProxy, tcpProxy } from '../support/tcpProxy.ts'

/** The database is gone for long or for good, or whoever started the server is: it waits quietly, and it can be ended. */
const folder = mkdtempSync(join(tmpdir(), 'sunup-away-'))
const started: Array<Program['child']> = []
let proxy: TcpProxy | null = null
// Root's database runs as another user, who must be able to walk in.
beforeAll(() => chmodSync(folder, 0o755))
afterEach(async () => {
  for (const child of started.splice(0)) child.kill('SIGKILL')
  await proxy?.close()
  proxy = null
})
afterAll(async () => {
  for (const name of ['gone', 'twice', 'parent'])
    await stopEmbedded(join(folder, name, 'database')).catch(() => {})
  rmSync(folder, { recursive: true, force: true })
})

async function start(env: Record<string, string>): Promise<{ server: Program; address: string }> {
  const server = await startServer(['start'], env)
  started.push(server.child)
  return { server, address: await addressOf(server) }
}

const ready = async (address: string) => {
  const answer = await fetch(`${address}/readyz`)
  return { status: answer.status, said: (await answer.text()).trim() }
}
const AWAY = { status: 503, said: 'the database is away' }
/** A stop that has nothing to wait for; the stages' own times (server/stopping.ts) are longer. */
const SOON_MS = 8_000
const count = (text: string, what: RegExp) => [...text.matchAll(what)].length

describe('a server whose database is away', () => {
  it('P1: knocks now and then, goes on when it is back, and ends in time when it is not, saying what was not written', async () => {
    const database = await freshDatabase()
    const env = { SUNUP_DATA: join(folder, 'county'), SUNUP_BACKUPS: 'off' }
    const plan = electionFolder(join(folder, 'plan'), new Date().toISOString().slice(0, 10))
    const kept = await sunup(['plan', 'import', plan], { ...env, DATABASE_URL: database })
    const day = /^day (\S+)$/m.exec(kept.out)![1]!
    const codes = await sunup(['codes', day], { ...env, DATABASE_URL: database })
    const code = codes.out.split('\n')[1]!.split(',').at(-1)!
    proxy = await tcpProxy(database)
    const { server, address } = await start({ ...env, DATABASE_URL: proxy.url })
    const answer = await fetch(`${address}/api/v1/enrol`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ code }),
    })
    const { key, device: id } = (await answer.json()) as { key: string; device: string }
    const device = await connectDevice(address, key)
    expect(await device.say(1, 'LineReported', { inLine: 1 })).toMatchObject({ ok: true, upTo: 1 })
    expect(await ready(address)).toEqual({ status: 200, said: 'ready' })

    proxy.refuse()
    await expect.poll(() => ready(address), { timeout: 3_000 }).toEqual(AWAY)
    const before = proxy.refused()
    await pause(2_000)
    const waiting = device.say(2, 'LineReported', { inLine: 2 })
    await pause(2_000)
    const knocks = proxy.refused() - before
    // At 0.25, 0.75, 1.75 and 3.75 s at the latest, each up to two fifths sooner.
    expect(knocks).toBeGreaterThanOrEqual(2)
    expect(knocks).toBeLessThanOrEqual(6)

    proxy.admit()
    expect(await waiting).toMatchObject({ ok: true, upTo: 2 })
    expect(await ready(address)).toEqual({ status: 200, said: 'ready' })
    expect(await device.say(3, 'LineReported', { inLine: 3 })).toMatchObject({ ok: true, upTo: 3 })

    proxy.refuse()
    await expect.poll(() => ready(address), { timeout: 3_000 }).toEqual(AWAY)
    const unanswered = device.say(4, 'LineReported', { inLine: 4 }).catch(() => null)
    await pause(200)
    const { code: ended, ms } = await server.stop()
    expect(ended).toBe(1)
    expect(ms).toBeLessThan(SOON_MS)
    expect((await unanswered)?.ok ?? false).toBe(false)
    device.close()
    const lines = server.err()
    expect(count(lines, /the database is away: nothing is acknowledged/g)).toBe(2)
    expect(count(lines, /the database is back/g)).toBe(1)
    expect(lines.trimEnd().split('\n').at(-1)).toMatch(
      /^Stopped while the database was away, for \d+ s\. Not written: [1-9]\d* reports and entries that waited, .* Nothing that was acknowledged is missing/,
    )
    // What everybody fails of is told once, not by each.
    expect(lines.split('\n').length).toBeLessThan(15)
    const sql = connect(database, { max: 1 })
    const rows = await sql<{ number: number }[]>`
      select number from entry where source = ${`device:${id}`} order by position`
    await sql.end()
    expect(rows.map(row => row.number)).toEqual([1, 2, 3])
  })

  it('that was its own and can’t be started again says so once, and lets it end', async () => {
    const data = join(folder, 'gone')
    const { server, address } = await start({ SUNUP_DATA: data })
    const pid = postgresOf(data)!
    renameSync(join(data, 'database', 'cluster'), join(data, 'database', 'away'))
    process.kill(pid, 'SIGKILL')
    await expect.poll(() => ready(address), { timeout: 5_000 }).toEqual(AWAY)
    await pause(1_500)
    expect(await ready(address)).toEqual(AWAY)
    expect(count(server.out(), /the database ended by itself/g)).toBe(1)
    expect(count(server.out(), /can't be started again/g)).toBe(1)
    const { code, ms } = await server.stop()
    expect(code).toBe(1)
    expect(ms).toBeLessThan(SOON_MS)
    expect(server.err()).toMatch(
      /^Stopped while the database was away, for \d+ s\. Not written: who was heard/m,
    )
  })
})

describe('a server that is asked to end', () => {
  it('ends at once when it is asked a second time', async () => {
    const { server } = await start({ SUNUP_DATA: join(folder, 'twice') })
    const from = performance.now()
    server.child.kill('SIGTERM')
    server.child.kill('SIGINT')
    expect((await server.ended).code).toBe(1)
    expect(performance.now() - from).toBeLessThan(1_000)
    expect(server.out()).toMatch(/^stopped at once, before everything was ended/m)
  })

  it('ends, with its database, when the tests that started it are killed', async () => {
    const data = join(folder, 'parent')
    const program = `
      import { addressOf, startServer } from '${checkoutFolder()}/tests/support/programs.ts'
      const server = await startServer(['start'], { SUNUP_DATA: ${JSON.stringify(data)} })
      await addressOf(server)
      console.log('pid ' + server.child.pid)`
    const parent: ChildProcess = spawn(
      process.execPath,
      ['--import', 'tsx', '--input-type=module', '--eval', program],
      { cwd: checkoutFolder(), stdio: ['ignore', 'pipe', 'inherit'] },
    )
    let said = ''
    parent.stdout!.on('data', chunk => {
      said += chunk
    })
    await expect.poll(() => said, { timeout: 30_000 }).toMatch(/pid \d+/)
    const pid = Number(/pid (\d+)/.exec(said)![1])
    const postgres = postgresOf(data)!
    expect([isAlive(pid), isAlive(postgres)]).toEqual([true, true])
    parent.kill('SIGKILL')
    await expect.poll(() => isAlive(pid) || isAlive(postgres), { timeout: 15_000 }).toBe(false)
  })
})
