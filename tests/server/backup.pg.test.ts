import { createHash } from 'node:crypto'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync, gzipSync } from 'node:zlib'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { stateOf, writeBackup } from '../../db/backup.ts'
import { sealOf } from '../../db/backupForm.ts'
import { backupTables } from '../../db/backupTables.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { migrate, ownMigrations } from '../../db/migrate.ts'
import { restoreBackup } from '../../db/restore.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { DAY } from '../support/aPlan.ts'
import { bareDatabase, freshDatabase } from '../support/database.ts'
import { AT, aWorld, badLine, incident, line, type World } from './dayLogTools.ts'

let folder: string
let world: World
let sql: Sql
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-backup-'))
  world = await aWorld()
  sql = world.nodes[0]!.sql
  const { log } = world.nodes[0]!
  for (let n = 1; n <= 40; n++)
    await log.report(DAY, `device:d-${n % 2}`, [line(`device:d-${n % 2}`, Math.ceil(n / 2))])
  await log.report(DAY, 'device:d-9', [
    incident('device:d-9', 1, 'The lights are out.\n“é”'),
    incident('device:d-9', 2, 'Said by mistake'),
    badLine(3),
    line('device:d-9', 4),
  ])
  await log.erase(DAY, 42, 'a name', 'p-imre')
  const access = makeAccess({
    store: openAccessStore(sql),
    now: () => Date.parse(AT),
    enrolRate: { perAddressPerMinute: 100, inAllPerMinute: 100 },
  })
  await access.enrol(await access.issueCode(DAY, 'E-01'), 'tablet “é” \\ "1"', '127.0.0.1')
  await access.issueCode(DAY, 'E-02')
  const imre = { id: 'p-imre', name: 'Imre', role: 'desk' as const }
  await access.addPerson(imre)
  await access.makeToken(imre)
  await access.makeLink(imre, 60_000)
  await sql`insert into credential (id, person, provider, account, password, made_at, changed_at)
    values ('c-1', 'p-imre', 'credential', 'p-imre', 'salt:hash', 1, 2)`
})
afterAll(async () => {
  await world.close()
  rmSync(folder, { recursive: true, force: true })
})

const fileAt = (name: string) => join(folder, name)
const backupTo = (name: string, replace = false) =>
  writeBackup(sql, fileAt(name), { madeAt: Date.parse(AT), replace })

async function contents(of: Sql) {
  const all: Record<string, unknown[]> = {}
  for (const { name, key } of backupTables)
    all[name] = await of.unsafe(
      `select t::text as row from "${name}" t order by ${key.map(k => `"${k}"`).join()}`,
    )
  return all
}

describe('backup and restore', () => {
  it('P13: an empty database becomes the same, row for row, with the same heads, and the log verifies', async () => {
    const made = await backupTo('all')
    expect(statSync(made.file).mode & 0o777).toBe(0o600)
    expect(statSync(made.file).size).toBe(made.bytes)
    expect(readdirSync(folder)).not.toContain('all.half')
    const url = await bareDatabase()
    const restored = await restoreBackup(url, made.file)
    expect(restored.days).toEqual(made.days)
    expect(restored.days).toMatchObject([{ day: DAY, position: 44 }])
    const other = connect(url, { max: 2, as: 'owner' })
    const had = await contents(world.owner)
    expect(await contents(other)).toEqual(had)
    for (const { name } of backupTables) expect(had[name]!.length, name).toBeGreaterThan(0)
    const app = connect(url, { max: 2 })
    const log = openDayLog(app, { now: () => Date.parse(AT) })
    expect(await log.verify(DAY)).toMatchObject({
      ok: true,
      entries: 44,
      head: made.days[0] && { hash: made.days[0].hash },
    })
    // The numbers go on, and what is there already is known by its content.
    expect(await log.report(DAY, 'device:d-9', [line('device:d-9', 4), line('device:d-9', 5)])).toEqual({
      upTo: 5,
      gap: false,
      refused: [],
    })
    await log.close()
    for (const open of [app, other]) await open.end({ timeout: 1 })
  })

  it('P14: nobody is signed in on a restored machine; keys and tokens are good', async () => {
    const fresh = await aWorld()
    const from = fresh.nodes[0]!.sql
    const accessTo = (of: Sql) =>
      makeAccess({
        store: openAccessStore(of),
        now: () => Date.parse(AT),
        enrolRate: { perAddressPerMinute: 9, inAllPerMinute: 9 },
      })
    const access = accessTo(from)
    const odile = { id: 'p-odile', name: 'Odile', role: 'supervisor' as const }
    await access.addPerson(odile)
    const token = await access.makeToken(odile)
    const spent = await access.spendLink(await access.makeLink(odile, 60_000))
    const link = await access.makeLink(odile, 60_000)
    const enrolled = await access.enrol(await access.issueCode(DAY, 'E-01'), 'tablet', '127.0.0.1')
    if (!enrolled.ok || !spent) throw new Error('not made')
    const { file } = await writeBackup(from, fileAt('people'), { madeAt: 0, replace: false })
    const url = await bareDatabase()
    await restoreBackup(url, file)
    const restored = connect(url, { max: 2 })
    const there = accessTo(restored)
    expect(await there.personOfToken(token)).toMatchObject({ id: 'p-odile', role: 'supervisor' })
    expect(await there.deviceOfKey(enrolled.key)).toMatchObject({ id: enrolled.device.id, precinct: 'E-01' })
    expect(await access.personOfSession(spent.session)).toMatchObject({ id: 'p-odile' })
    expect(await there.personOfSession(spent.session)).toBeNull()
    expect(await there.spendLink(link)).toBeNull()
    await restored.end({ timeout: 1 })
    await fresh.close()
  })

  it('refuses to write over a file, and puts another in its place only when told to', async () => {
    await backupTo('twice')
    await expect(backupTo('twice')).rejects.toThrow(/is there already: name another file, or add --replace/)
    await expect(backupTo('twice', true)).resolves.toMatchObject({ rows: { entry: 44 } })
  })

  it('says where a folder is missing or a disk full, in one line, and leaves nothing half', async () => {
    await expect(backupTo('nowhere/file')).rejects.toThrow(
      /nowhere\/file can't be written \(there is no folder .*nowhere\)/,
    )
    await expect(
      writeBackup(sql, fileAt('full'), { madeAt: 0, replace: false, sinkAt: '/dev/full' }),
    ).rejects.toThrow(/full can't be written \(the disk is full\): nothing was kept/)
    expect(readdirSync(folder).filter(name => /half|full|nowhere/.test(name))).toEqual([])
  })

  it('knows when nothing has changed, and that anything has', async () => {
    const fresh = await aWorld()
    const { sql: of, log } = fresh.nodes[0]!
    const seen = new Set([await stateOf(of)])
    expect(await stateOf(of)).toBe([...seen][0])
    const access = makeAccess({
      store: openAccessStore(of),
      now: () => 1,
      enrolRate: { perAddressPerMinute: 9, inAllPerMinute: 9 },
    })
    const changes: Array<() => Promise<unknown>> = [
      () => log.report(DAY, 'device:a', [line('device:a', 1)]),
      () => log.report(DAY, 'device:a', [badLine(2)]),
      () => access.issueCode(DAY, 'E-01'),
      () => access.addPerson({ id: 'p', name: 'Pia', role: 'desk' }),
      () => access.addPerson({ id: 'p', name: 'Pia', role: 'supervisor' }),
    ]
    for (const change of changes) {
      await change()
      seen.add(await stateOf(of))
    }
    expect(seen.size).toBe(changes.length + 1)
    await fresh.close()
  })

  it('P13: does not copy a log whose chain is broken, and names the entry', async () => {
    const fresh = await aWorld()
    const { sql: of, log } = fresh.nodes[0]!
    for (let n = 1; n <= 5; n++) await log.report(DAY, 'device:a', [line('device:a', n)])
    await fresh.owner.unsafe(
      `alter table entry disable trigger all; update entry set text = replace(text, '"inLine":3', '"inLine":4')`,
    )
    await expect(writeBackup(of, fileAt('broken'), { madeAt: 0, replace: false })).rejects.toThrow(
      /damaged at entry 3/,
    )
    expect(existsSync(fileAt('broken'))).toBe(false)
    await fresh.close()
  })
})

describe('a file that is not what was written', () => {
  let good: Buffer
  let target: string
  beforeAll(async () => {
    good = readFileSync((await backupTo('good')).file)
    // With its tables, so that a hundred tries make none: nothing else is different.
    target = await freshDatabase()
  })

  async function refusalOf(bytes: Buffer): Promise<string> {
    writeFileSync(fileAt('bad'), bytes)
    try {
      await restoreBackup(target, fileAt('bad'))
    } catch (error) {
      expect(error).toMatchObject({ name: 'BackupRefused' })
      expect((error as Error).message).not.toContain('\n')
      return (error as Error).message
    }
    throw new Error('it was restored')
  }
  async function nothingThere() {
    const of = connect(target, { max: 1, as: 'owner' })
    for (const { name } of backupTables)
      expect(await of.unsafe(`select 1 from "${name}" limit 1`), name).toHaveLength(0)
    await of.end({ timeout: 1 })
  }
  /** The lines changed, and everything about them made right again but what is under test. */
  function rewritten(change: (lines: string[]) => string[], endRight = true): Buffer {
    let lines = change(unpacked().trimEnd().split('\n'))
    if (endRight) {
      const before = lines.slice(0, -1)
      const last = JSON.parse(lines.at(-1)!)
      last.end.sha256 = createHash('sha256')
        .update(before.map(l => `${l}\n`).join(''))
        .digest('hex')
      lines = [...before, JSON.stringify(last)]
    }
    return sealed(gzipSync(lines.map(l => `${l}\n`).join('')))
  }
  const unpacked = () =>
    gunzipSync(good)
      .toString('utf8')
      .replace(/\{"file":.*\n$/, '')
  const sealed = (packed: Buffer) =>
    Buffer.concat([packed, sealOf(createHash('sha256').update(packed).digest('hex'))])

  it('P13: any bit turned and any cut is refused, and nothing is restored', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          fc.record({ at: fc.nat(good.length * 8 - 1), cut: fc.constant(false) }),
          fc.record({ at: fc.nat(good.length - 1), cut: fc.constant(true) }),
        ),
        async ({ at, cut }) => {
          const bytes = Buffer.from(cut ? good.subarray(0, at) : good)
          if (!cut) bytes[at >> 3]! ^= 1 << (at & 7)
          await refusalOf(bytes)
        },
      ),
      { numRuns: 60, seed: 20_261_103 },
    )
    // The bits that gzip itself doesn't look at: its header, its last bytes, and what comes after them.
    for (const at of [3, 4, 5, 6, 7, 8, 9, good.length - 1, good.length - 9, good.length - 110])
      for (const bit of [1, 16, 128]) {
        const bytes = Buffer.from(good)
        bytes[at]! ^= bit
        await refusalOf(bytes)
      }
    await refusalOf(Buffer.concat([good, Buffer.from('\n')]))
    await refusalOf(Buffer.concat([good, good]))
    await nothingThere()
    expect((await restoreBackup(await bareDatabase(), fileAt('good'))).days).toHaveLength(1)
  }, 180_000)

  it('P13: an entry that was altered and packed again is named', async () => {
    const altered = rewritten(lines => lines.map(l => l.replace('\\"inLine\\":7}', '\\"inLine\\":8}')))
    expect(await refusalOf(altered)).toMatch(/was altered at entry \d+ of ellery/)
    const without = rewritten(lines => lines.filter(l => !l.startsWith('["entry","ellery-2026-11-03","9"')))
    expect(await refusalOf(without)).toMatch(/was altered at entry 9 of ellery/)
    const words = rewritten(lines => lines.map(l => l.replace('The lights are out.', 'The lights are on.')))
    expect(await refusalOf(words)).toMatch(/words beside entry 41 are not the ones/)
    const shorter = rewritten(lines => lines.filter(l => !l.startsWith('["entry","ellery-2026-11-03","44"')))
    expect(await refusalOf(shorter)).toMatch(/cut short or was altered/)
    await nothingThere()
  })

  it('says what it is where it is something else', async () => {
    expect(await refusalOf(Buffer.alloc(0))).toMatch(/cut short/)
    expect(await refusalOf(Buffer.from('select 1;'.repeat(50)))).toMatch(/not packed by gzip/)
    expect(await refusalOf(sealed(gzipSync('hello\n')))).toMatch(/is not a backup of Sunup/)
    expect(await refusalOf(sealed(gzipSync('{"sunup":"backup"}\n')))).toMatch(/cut short or was altered/)
    const newer = (change: object) =>
      rewritten(([first, ...rest]) => [JSON.stringify({ ...JSON.parse(first!), ...change }), ...rest])
    expect(await refusalOf(newer({ form: 2 }))).toMatch(/written by a newer Sunup \(form 2/)
    expect(await refusalOf(newer({ schema: 9_000 }))).toMatch(/written by a newer Sunup \(version 9000/)
    expect(await refusalOf(newer({ tables: { 'entry"; drop table day': ['x'] } }))).toMatch(/names a table/)
    expect(await refusalOf(newer({ tables: { session: ['id'] } }))).toMatch(/names a table session/)
    await expect(restoreBackup(target, fileAt('none'))).rejects.toThrow(/There is no file/)
    await nothingThere()
  })

  it('is refused before it fills the memory: a bomb of one line, and of many', async () => {
    const long = Buffer.alloc(48 * 1024 * 1024, 'a')
    const from = process.memoryUsage().rss
    expect(await refusalOf(sealed(gzipSync(long)))).toMatch(
      /more than 100 times its size|more than 33554432 bytes/,
    )
    const [first] = unpacked().split('\n')
    const many = Buffer.from(`${first}\n${`["entry",${'null,'.repeat(8)}null]\n`.repeat(600_000)}`)
    expect(await refusalOf(sealed(gzipSync(many)))).toMatch(/100 times|altered/)
    expect(process.memoryUsage().rss - from).toBeLessThan(300 * 1024 * 1024)
    await nothingThere()
  })

  it('is not put over anything that is there', async () => {
    await expect(restoreBackup(world.url, fileAt('good'))).rejects.toThrow(
      /only be restored into an empty system/,
    )
    expect(await world.nodes[0]!.log.verify(DAY)).toMatchObject({ ok: true, entries: 44 })
    const made = await freshDatabase()
    expect((await restoreBackup(made, fileAt('good'))).days).toHaveLength(1)
    await expect(restoreBackup(made, fileAt('good'))).rejects.toThrow(/only be restored into an empty system/)
  })
})

describe('a backup of an older version', () => {
  it('P11: fills the tables of its version, which are then brought to this one', async () => {
    const { file } = await backupTo('older')
    const last = ownMigrations().at(-1)!.number
    const next = [
      ...ownMigrations(),
      {
        number: last + 1,
        name: 'next',
        sql: `alter table device add column shelf text; update device set shelf = 'of ' || precinct;
              alter table device alter column shelf set not null`,
      },
    ]
    const url = await bareDatabase()
    await restoreBackup(url, file, () => {}, next)
    const of = connect(url, { max: 1, as: 'owner' })
    expect(await of`select shelf from device`).toMatchObject([{ shelf: 'of E-01' }])
    expect((await of`select max(number) as n from migration`)[0]).toMatchObject({ n: last + 1 })
    await of.end({ timeout: 1 })
    // Tables of the newer version, though empty, can't take it.
    await expect(restoreBackup(await newerTables(next), file, () => {}, next)).rejects.toThrow(
      /older version .*give it a database without tables/,
    )
  })
})

async function newerTables(migrations: ReturnType<typeof ownMigrations>): Promise<string> {
  const url = await bareDatabase()
  await migrate(url, migrations)
  return url
}
