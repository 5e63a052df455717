import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { connect } from '../../db/connect.ts'
import { freshDatabase } from '../support/database.ts'
import { electionFolder } from '../support/planFolder.ts'
import { addressOf, postgresOf, startServer, sunup } from '../support/programs.ts'

/** The `sunup` command, as an operator types it. */
let folder: string
let plan: string
let env: { DATABASE_URL: string }
const DAY = 'ellery-county-2026-11-03'
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-command-'))
  // Root's database runs as another user, who must be able to walk in.
  chmodSync(folder, 0o755)
  plan = electionFolder(join(folder, 'plan'))
  env = { DATABASE_URL: await freshDatabase() }
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Every table of the database that an import may write to, as text. */
async function tablesOf(url: string): Promise<string> {
  const sql = connect(url, { max: 1 })
  const rows = await sql<{ day: string; plans: number; entries: number }[]>`
    select id as day, plan_hash, opened_at, (select count(*) from plan) as plans, (select count(*) from entry) as entries
    from day order by id`
  await sql.end()
  return JSON.stringify(rows)
}

describe('words', () => {
  it.each([
    [['plan', 'improt', 'x']],
    [['days', 'of', 'the', 'week']],
    [['frobnicate']],
    [['plan', 'check']],
    [[]],
  ])('that it doesn’t know are answered with what it can do, and code 2: %j', async words => {
    const { code, out, err } = await sunup(words, env)
    expect(code).toBe(2)
    expect(out + err).toContain('sunup plan check DIR')
    expect(out + err).toContain('sunup log verify [DAY]')
    if (words.length > 0) expect(err).toMatch(/^".*" is not something sunup can do:$/m)
  })

  it('that ask for help are answered on stdout with code 0', async () => {
    const { code, out, err } = await sunup(['help'], {})
    expect([code, err]).toEqual([0, ''])
    expect(out).toContain('sunup codes DAY')
  })

  it.each([
    [['link', 'Imre']],
    [['link', 'Imre', '--role']],
    [['link', 'Imre', '--role', 'king']],
    [['link', 'Imre', 'Ott', '--role', 'desk']],
  ])('of a link without a role we have are answered in one line that names the roles: %j', async words => {
    const { code, err, out } = await sunup(words, env)
    expect(code).toBe(2)
    expect(out).toBe('')
    expect(err).toBe(
      'sunup link NAME --role ROLE [--post CODE]: the role is one of desk, rover, supervisor, receiving, admin; a name of two words goes in quotes; a post is the code of a rover or of a receiving place.\n',
    )
  })
})

describe('plan', () => {
  it('check: a good folder is summed up with code 0, a broken one is told fault by fault with code 1', async () => {
    const good = await sunup(['plan', 'check', plan], {})
    expect([good.code, good.err]).toEqual([0, ''])
    expect(good.out).toMatch(/^Ellery County: General election \(election\), 2026-11-03/)
    expect(good.out).toMatch(/^hash [0-9a-f]{64}$/m)

    const broken = electionFolder(join(folder, 'broken'))
    const file = join(broken, 'precincts.csv')
    writeFileSync(
      file,
      readFileSync(file, 'utf8').replace(
        /^harbor-hall,Harbor Hall,harbor-hall,\d+/m,
        'harbor-hall,Harbor Hall,nowhere,many',
      ),
    )
    const bad = await sunup(['plan', 'check', broken], {})
    expect(bad.code).toBe(1)
    const lines = bad.out.trimEnd().split('\n')
    expect(lines).toContainEqual(expect.stringMatching(/^precincts\.csv:2 registered: found "many"; /))
    expect(lines).toContainEqual(expect.stringMatching(/^precincts\.csv:2 place: found "nowhere"; /))
    expect(lines.at(-1)).toBe(`${lines.length - 1} faults`)
  })

  it('import: with faults nothing is imported, into an empty database the day is kept, and again nothing changes', async () => {
    const before = await tablesOf(env.DATABASE_URL)
    const bad = await sunup(['plan', 'import', join(folder, 'broken')], env)
    expect(bad.code).toBe(1)
    expect(bad.err).toMatch(/^\d+ faults: nothing was imported$/m)
    expect(await tablesOf(env.DATABASE_URL)).toBe(before)

    const first = await sunup(['plan', 'import', plan], env)
    expect([first.code, first.err]).toEqual([0, ''])
    expect(first.out).toMatch(new RegExp(`^day ${DAY}$`, 'm'))
    const once = await tablesOf(env.DATABASE_URL)
    expect(JSON.parse(once)).toMatchObject([{ day: DAY, plans: 1, entries: 0 }])
    const second = await sunup(['plan', 'import', plan], env)
    expect([second.code, second.out]).toEqual([0, first.out])
    expect(await tablesOf(env.DATABASE_URL)).toBe(once)

    const other = electionFolder(join(folder, 'other'), '2026-11-03', { hours: { close: '20:00' } })
    const third = await sunup(['plan', 'import', other], env)
    expect(third.code).toBe(0)
    expect(third.out).toMatch(/^replaced the plan that was kept before: the day has not begun$/m)
    expect(third.out).toMatch(/polls 06:30 to 20:00/)
    await sunup(['plan', 'import', plan], env)
  })

  it('days lists them', async () => {
    const { code, out } = await sunup(['days'], env)
    expect(code).toBe(0)
    expect(out).toMatch(new RegExp(`^${DAY}  election  2026-11-03  open  plan [0-9a-f]{12}\n$`))
  })
})

describe('codes and links', () => {
  it('a code for each precinct as CSV, each good for one device; a link signs one person in, once', async () => {
    const codes = await sunup(['codes', DAY], env)
    expect([codes.code, codes.err]).toEqual([0, ''])
    const [head, ...rows] = codes.out.trimEnd().split('\n')
    expect(head).toBe('precinct,name,code')
    expect(rows).toHaveLength(64)
    for (const row of rows) expect(row).toMatch(/^[a-z0-9-]+,"[^"]+",[A-Z2-9]{5}-[A-Z2-9]{5}$/)
    const link = await sunup(['link', 'Imre Ott', '--role', 'desk'], env)
    expect(link.code).toBe(0)
    expect(link.out).toMatch(/^\/enter\?key=[\w-]{43}\n$/)
    const full = await sunup(['link', 'Runa', '--role=supervisor'], {
      ...env,
      SUNUP_PUBLIC_URL: 'https://board.example.gov',
    })
    expect(full.out).toMatch(/^https:\/\/board\.example\.gov\/enter\?key=/)

    const server = await startServer(['start'], env)
    const address = await addressOf(server)
    const enrol = (code: string) =>
      fetch(`${address}/api/v1/enrol`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ code, label: 'tablet' }),
      })
    const [precinct, code] = [rows[0]!.split(',')[0]!, rows[0]!.split(',').at(-1)!]
    const first = await enrol(code)
    expect(first.status).toBe(200)
    expect(await first.json()).toMatchObject({ ok: true, day: DAY, precinct, upTo: 0 })
    expect((await enrol(code)).status).toBe(403)

    const enter = (headers: Record<string, string> = {}) =>
      fetch(`${address}/enter`, {
        method: 'POST',
        redirect: 'manual',
        headers: { Origin: address, 'Content-Type': 'application/x-www-form-urlencoded', ...headers },
        body: new URLSearchParams({ key: link.out.trim().split('key=')[1]! }),
      })
    expect((await fetch(address + link.out.trim())).status).toBe(200)
    const entered = await enter()
    expect(entered.status).toBe(303)
    const cookie = entered.headers.get('set-cookie')!.split(';')[0]!
    const days = await fetch(`${address}/api/v1/days`, { headers: { Cookie: cookie } })
    expect(await days.json()).toMatchObject({ days: [{ id: DAY, kind: 'election', running: true }] })
    expect((await enter()).status).toBe(410)
    expect((await server.stop()).code).toBe(0)
  })

  it('codes of a day that is not there are refused in one line', async () => {
    const { code, err } = await sunup(['codes', 'another'], env)
    expect([code, err]).toEqual([1, 'There is no day another in this database: sunup days lists them.\n'])
  })
})

describe('a day that has begun', () => {
  it('keeps its plan: another is refused, and nothing of it is imported', async () => {
    const before = await tablesOf(env.DATABASE_URL)
    const later = electionFolder(join(folder, 'later'), '2026-11-03', { hours: { close: '21:00' } })
    const { code, err } = await sunup(['plan', 'import', later], env)
    expect(code).toBe(1)
    expect(err).toMatch(/has begun with another plan \([0-9a-f]{12}\): nothing was imported\.\n$/)
    expect(await tablesOf(env.DATABASE_URL)).toBe(before)
  })
})

describe('log verify', () => {
  it('P13: is content with a good log and names the position of a tampered one, with code 1', async () => {
    const good = await sunup(['log', 'verify', DAY], env)
    expect([good.code, good.err]).toEqual([0, ''])
    expect(good.out).toMatch(new RegExp(`^${DAY}: \\d+ entries, unaltered; head \\d+ [0-9a-f]{64}\n$`))

    const owner = connect(env.DATABASE_URL, { max: 1, as: 'owner' })
    await owner.begin(async tx => {
      await tx.unsafe("set local session_replication_role = 'replica'")
      const { count } = await tx.unsafe(
        `update entry set text = replace(text, '"version":1', '"version":2') where position = 2`,
      )
      expect(count).toBe(1)
    })
    await owner.end()
    const bad = await sunup(['log', 'verify'], env)
    expect(bad.code).toBe(1)
    expect(bad.out).toMatch(new RegExp(`^${DAY}: entry 2: altered: entry 2 was altered\n$`))
    const unknown = await sunup(['log', 'verify', 'another'], env)
    expect(unknown.code).toBe(1)
  })
})

describe('beside a running server on the embedded database', () => {
  it('a command that only looks never makes one: a mistyped folder is one line and code 1', async () => {
    const typo = { SUNUP_DATA: join(folder, 'typo') }
    for (const words of [['log', 'verify'], ['days']]) {
      const { code, err, out } = await sunup(words, typo)
      expect([code, out]).toEqual([1, ''])
      expect(err.trim()).toMatch(/^There is no database in .*typo: is SUNUP_DATA right\?$/)
    }
    expect(existsSync(join(folder, 'typo'))).toBe(false)
  })

  it('the command uses its database, leaves it running, and takes the folder itself when the server is gone', async () => {
    const data = join(folder, 'data')
    const here = { SUNUP_DATA: data }
    await sunup(['plan', 'import', plan], here)
    expect(postgresOf(data)).toBe(null)
    const server = await startServer(['start'], here)
    const address = await addressOf(server)
    const note = join(data, 'running.json')
    expect(statSync(note).mode & 0o777).toBe(0o600)
    const pid = postgresOf(data)
    const days = await sunup(['days'], here)
    expect([days.code, days.err]).toEqual([0, ''])
    expect(days.out).toContain(DAY)
    const codes = await sunup(['codes', DAY], here)
    const code = codes.out.trimEnd().split('\n').at(-1)!.split(',').at(-1)!
    const response = await fetch(`${address}/api/v1/enrol`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ code }),
    })
    expect(response.status).toBe(200)
    const verified = await sunup(['log', 'verify'], here)
    expect(verified.out).toContain('unaltered')
    expect(postgresOf(data)).toBe(pid)

    // kill -9 leaves the note behind; its process number may be another program's by then (here: ours).
    server.child.kill('SIGKILL')
    await server.ended
    const left = JSON.parse(readFileSync(note, 'utf8')) as { url: string; pid: number }
    expect((await sunup(['days'], here)).out).toContain(DAY)
    expect(postgresOf(data)).toBe(null)
    writeFileSync(note, JSON.stringify({ ...left, pid: process.pid }))
    const again = await sunup(['days'], here)
    expect([again.code, again.out.includes(DAY)]).toEqual([0, true])
    expect(postgresOf(data)).toBe(null)
  }, 120_000)
})
