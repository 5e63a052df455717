import { mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Registry } from 'prom-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readLines } from '../../db/backupLines.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { openDays } from '../../db/days.ts'
import { startBackups } from '../../server/backups.ts'
import { backupName } from '../../server/backupsKept.ts'
import { makeLog } from '../../server/log.ts'
import { backups } from '../../server/protocol/setup.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { connectDevice, enrolDevice, type RunningSunup, runSunup, until } from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

let folder: string
let url: string
let clock = Date.parse('2026-11-03T10:00:00Z')
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-backups-'))
  url = await freshDatabase()
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/**
 * A server whose day stands still while the wall is moved by hand. A wall that jumps is an outage of our own to it,
 * and is written down: where nothing may change, there is no server (`keeping`).
 */
function start(where: string, everyMs = 3_600_000): Promise<RunningSunup> {
  const backups = { folder: where, everyMs }
  return runSunup({ url, plan: aPlan(), wall: () => clock, speed: 1e-6, backups })
}
const kept = (where: string) => readdirSync(where).sort()

async function ageIn(running: RunningSunup): Promise<number | null> {
  return ageOf(await (await fetch(`${running.url}/metrics`)).text())
}

function ageOf(text: string): number | null {
  const found = /^sunup_backup_age_seconds (\S+)$/m.exec(text)?.[1]
  return found === undefined ? null : Number(found)
}

/** The backups of a database that nobody else writes to, and their age in seconds as the figures say it. */
function keeping(where: string, sql: Sql) {
  const registry = new Registry()
  const copies = { folder: where, everyMs: 3_600_000 }
  const running = startBackups(copies, { sql, wall: () => clock, logger: makeLog('silent'), registry })
  return { ...running, age: async () => ageOf(await registry.metrics()) }
}

describe('automatic backups', () => {
  it('are made where anything changed, also across a restart, and their age is a figure', async () => {
    const where = join(folder, 'usual')
    const sql = connect(await freshDatabase(), { max: 2 })
    const change = () => openDays(sql).savePlan(`plan-${clock}`, '{}')
    await change()
    const first = keeping(where, sql)
    expect(first.state()).toMatchObject({ on: true, folder: where, everyMinutes: 60, last: null })
    expect(await first.age()).toBeNull()
    await first.run()
    expect(kept(where)).toEqual([backupName(clock)])
    expect(statSync(join(where, kept(where)[0]!)).mode & 0o777).toBe(0o600)
    clock += 300_000
    expect(await first.age()).toBe(300)
    await first.run()
    expect(kept(where)).toHaveLength(1)
    expect(await first.age()).toBe(0)
    clock += 300_000
    await change()
    await Promise.all([first.run(), first.run()])
    expect(kept(where)).toHaveLength(2)
    await first.stop()

    const changedAt = clock
    clock += 300_000
    const second = keeping(where, sql)
    await second.run()
    expect(kept(where)).toHaveLength(2)
    expect(second.state().last!.madeAt).toBe(new Date(changedAt).toISOString())
    await second.stop()
    await sql.end({ timeout: 1 })
  })

  it('of a running server hold what a tablet said', async () => {
    const where = join(folder, 'said')
    const running = await start(where)
    await running.sunup.backups.run()
    expect(await ageIn(running)).not.toBeNull()
    const device = await connectDevice(running.url, await enrolDevice(running, 'E-01'))
    await device.say(1, 'LineReported', { inLine: 4 })
    device.close()
    clock += 300_000
    await running.sunup.backups.run()
    expect(kept(where).at(-1)).toBe(backupName(clock))
    let said = 0
    await readLines(join(where, backupName(clock)), line => {
      if (line.includes('LineReported')) said += 1
    })
    expect(said).toBe(1)
    await running.stop()
  })

  it('come by themselves, and the stop of a server waits for none', async () => {
    const where = join(folder, 'often')
    const running = await start(where, 50)
    await until('there is one', () => kept(where).some(name => name.endsWith('.backup')))
    await running.stop()
    expect(kept(where).filter(name => name.endsWith('.half'))).toEqual([])
  })

  it('that fail are told to the administrator and to the figures, and are made again when they can be', async () => {
    const where = join(folder, 'blocked')
    writeFileSync(where, 'a file where a folder should be')
    const running = await start(where)
    await running.sunup.backups.run()
    const state = running.sunup.backups.state()
    expect(state).toMatchObject({ last: null, problem: { message: expect.stringMatching(/EEXIST|ENOTDIR/) } })
    expect(await (await fetch(`${running.url}/metrics`)).text()).toMatch(/^sunup_backups_failed_total [12]$/m)
    rmSync(where)
    mkdirSync(where)
    await running.sunup.backups.run()
    expect(running.sunup.backups.state()).toMatchObject({
      problem: null,
      last: { bytes: expect.any(Number) },
    })
    await running.stop()
  })

  it('P1: come within seconds of an enrolment, whose key nobody could say again', async () => {
    const where = join(folder, 'soon')
    const sql = connect(url, { max: 2 })
    const running = startBackups(
      { folder: where, everyMs: 3_600_000 },
      { sql, wall: () => clock, logger: makeLog('silent'), registry: new Registry(), soonMs: 30 },
    )
    running.soon()
    running.soon()
    await until('there is one', () => running.state().last !== null)
    expect(kept(where)).toHaveLength(1)
    await running.stop()
    running.soon()
    await sql.end({ timeout: 1 })
  })

  it('P14: are shown to an administrator and to nobody else', async () => {
    const running = await start(join(folder, 'shown'))
    await running.sunup.backups.run()
    const ask = async (role: 'admin' | 'supervisor') => {
      const person = { id: `p-${role}`, name: role, role }
      const headers = await signedIn(running.sunup.access, running.url, person)
      return fetch(`${running.url}/api/v1/setup/backups`, { headers })
    }
    const shown = backups.parse(await (await ask('admin')).json())
    expect(shown).toMatchObject({ on: true, last: { madeAt: new Date(clock).toISOString() }, problem: null })
    expect((await ask('supervisor')).status).toBe(403)
    await running.stop()
  })
})
