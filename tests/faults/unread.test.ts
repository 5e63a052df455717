import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { stopEmbedded } from '../../db/embedded.ts'
import { addressOf, isAlive, type Program, postgresOf, startServer } from '../support/programs.ts'

/** A server that talks to nobody: its terminal is closed, or the program that started it was killed. */
const folder = mkdtempSync(join(tmpdir(), 'sunup-unread-'))
const data = join(folder, 'county')
let server: Program | undefined
// Root's database runs as another user, who must be able to walk in.
beforeAll(() => chmodSync(folder, 0o755))
afterAll(async () => {
  server?.child.kill('SIGKILL')
  await stopEmbedded(data)
  rmSync(folder, { recursive: true, force: true })
})

describe('a server whose output nobody reads any more', () => {
  it('goes on serving through trouble it can tell nobody of, and ends when it is asked to', async () => {
    server = await startServer(['start'], { SUNUP_DATA: data })
    const address = await addressOf(server)
    server.child.stdout!.destroy()
    server.child.stderr!.destroy()
    // Its database ends by itself, of which it has much to say.
    const before = postgresOf(data)!
    process.kill(before, 'SIGKILL')
    const back = async () => {
      for (let tries = 0; tries < 200; tries++) {
        const now = postgresOf(data)
        if (now !== null && now !== before && isAlive(now)) return now
        await pause(100)
      }
      return null
    }
    expect(await back()).not.toBeNull()
    // Lines that went round to the closed pipe for ever took all of a core, and no signal was served any more.
    await pause(1_000)
    expect((await fetch(`${address}/healthz`)).status).toBe(200)
    // It ends with 0 where its database answers; a busy machine takes a while to recover one that was killed.
    await expect.poll(async () => (await fetch(`${address}/readyz`)).status, { timeout: 60_000 }).toBe(200)
    const { code } = await server.stop()
    expect(code).toBe(0)
  }, 120_000)
})
