import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { connect } from '../../db/connect.ts'
import { readKept } from '../../server/keptFile.ts'
import type { ReportAnswer } from '../../server/protocol/device.ts'
import { electionFolder } from '../support/planFolder.ts'
import { addressOf, isAlive, type Program, postgresOf, startServer, sunup } from '../support/programs.ts'
import { connectDevice, type TestDevice } from '../support/runSunup.ts'

/** Stops and starts as operators make them: nothing that was acknowledged is lost, nobody has to be enrolled again. */
let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-stop-'))
  // Root's database runs as another user, who must be able to walk in.
  chmodSync(folder, 0o755)
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

type Line = { kind: string; source: string; number: number | null }

async function entriesOf(data: string): Promise<Line[]> {
  const { url } = readKept<{ url: string }>(join(data, 'running.json'))!
  const sql = connect(url, { max: 1 })
  const rows = await sql<{ text: string }[]>`select text from entry order by position`
  await sql.end()
  return rows.map(row => JSON.parse(row.text) as Line)
}

/** Sends until the connection is gone; the highest number that was acknowledged. */
async function speak(device: TestDevice, from: number): Promise<number> {
  let upTo = from - 1
  for (let number = from; ; number += 5) {
    const at = new Date().toISOString()
    const reports = [0, 1, 2, 3, 4].map(i => ({
      number: number + i,
      at,
      kind: 'CountsReported',
      body: { checkedIn: number + i },
    }))
    const sent = device.report(reports, at).catch(() => null)
    const gone = new Promise<null>(resolve => device.socket.once('disconnect', () => resolve(null)))
    const answer: ReportAnswer | null = await Promise.race([sent, gone])
    if (!answer?.ok) return upTo
    upTo = answer.upTo
  }
}

describe('SIGTERM while reports flow', () => {
  it('P1: every acknowledged report is in the log; it ends in order within ten seconds, and the next start goes on', async () => {
    const data = join(folder, 'county')
    const env = { SUNUP_DATA: data, SUNUP_DEVICE_RATE: '10000', SUNUP_DEVICE_BURST: '1000000' }
    const plan = electionFolder(join(folder, 'plan'), new Date().toISOString().slice(0, 10))
    const day = /^day (\S+)$/m.exec((await sunup(['plan', 'import', plan], env)).out)![1]!
    const codes = (await sunup(['codes', day], env)).out
      .trimEnd()
      .split('\n')
      .slice(1, 7)
      .map(row => row.split(',').at(-1)!)
    const first = await startServer(['start'], env)
    const address = await addressOf(first)
    const devices: Array<{ id: string; key: string; device: TestDevice }> = []
    for (const code of codes) {
      const answer = await fetch(`${address}/api/v1/enrol`, {
        method: 'POST',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ code }),
      })
      const { device: id, key } = (await answer.json()) as { device: string; key: string }
      devices.push({ id, key, device: await connectDevice(address, key) })
    }
    const speaking = devices.map(d => speak(d.device, 1))
    await new Promise(resolve => setTimeout(resolve, 1_500))
    const pid = postgresOf(data)!
    const { code, ms } = await first.stop()
    const upTo = await Promise.all(speaking)
    for (const { device } of devices) device.close()
    expect(code).toBe(0)
    expect(ms).toBeLessThan(10_000)
    await expect.poll(() => isAlive(pid), { timeout: 10_000 }).toBe(false)
    expect(first.err()).toBe('')
    // The stop must have come in the middle of it.
    for (const highest of upTo) expect(highest).toBeGreaterThan(20)

    const second = await startServer(['start'], env)
    const again = await addressOf(second)
    const device = await connectDevice(again, devices[0]!.key)
    const next = await device.report([])
    expect(next.ok).toBe(true)
    expect(next.upTo).toBeGreaterThanOrEqual(upTo[0]!)
    expect(await device.say(next.upTo + 1, 'LineReported', { inLine: 3 })).toMatchObject({ ok: true })
    device.close()
    const entries = await entriesOf(data)
    expect((await second.stop()).code).toBe(0)
    expect(entries.filter(e => e.kind === 'DayOpened')).toHaveLength(1)
    devices.forEach(({ id }, i) => {
      const numbers = entries.filter(e => e.source === `device:${id}`).map(e => e.number)
      expect(numbers).toEqual(numbers.map((_, n) => n + 1))
      expect(numbers.length).toBeGreaterThanOrEqual(upTo[i]!)
    })
    expect((await sunup(['log', 'verify'], env)).code).toBe(0)
  })
})

describe('the demo, started again', () => {
  type Said = { url: string; day: string; desk: string; token: string; deviceKeys: Record<string, string> }
  const words = ['demo', '--json', '--from', '05:05', '--speed', '10']

  async function said(server: Program): Promise<Said> {
    return JSON.parse(await server.line(/^\{/, 90_000)) as Said
  }
  async function nowOf({ url, day, token }: Said): Promise<{ now: number; cursor: number }> {
    const answer = await fetch(`${url}/api/v1/days/${day}/board`, {
      headers: { Authorization: `Bearer ${token}` },
    })
    expect(answer.status).toBe(200)
    const board = (await answer.json()) as { now: string; cursor: number }
    return { now: Date.parse(board.now), cursor: board.cursor }
  }

  it('goes on with the same day, keys and token, after a stop and after kill -9', async () => {
    const env = { SUNUP_DATA: join(folder, 'demo') }
    const first = await startServer(words, env)
    const one = await said(first)
    expect(first.out().trimEnd().split('\n')).toHaveLength(1)
    const atOne = await nowOf(one)
    expect((await first.stop()).code).toBe(0)

    const second = await startServer(words, env)
    const two = await said(second)
    expect([two.day, two.token, two.deviceKeys]).toEqual([one.day, one.token, one.deviceKeys])
    expect(two.desk.split('key=')[1]).not.toBe(one.desk.split('key=')[1])
    const atTwo = await nowOf(two)
    expect(atTwo.now).toBeGreaterThanOrEqual(atOne.now)
    expect(atTwo.cursor).toBeGreaterThanOrEqual(atOne.cursor)
    // The day stood still while the server was down: no more of it went by than the server ran for.
    expect(atTwo.now - atOne.now).toBeLessThan(15 * 60_000)
    const [precinct, key] = Object.entries(two.deviceKeys)[0]!
    const device = await connectDevice(two.url, key)
    expect(await device.say(1, 'LineReported', { inLine: 1 })).toMatchObject({ ok: true, upTo: 1 })
    device.close()
    second.child.kill('SIGKILL')
    await second.ended

    const third = await startServer(words, env)
    const three = await said(third)
    expect([three.day, three.token, three.deviceKeys]).toEqual([one.day, one.token, one.deviceKeys])
    expect((await nowOf(three)).cursor).toBeGreaterThanOrEqual(atTwo.cursor)
    const again = await connectDevice(three.url, three.deviceKeys[precinct]!)
    expect(await again.report([])).toMatchObject({ ok: true, upTo: 1 })
    again.close()
    expect((await third.stop()).code).toBe(0)
    expect(postgresOf(env.SUNUP_DATA)).toBe(null)
  })

  it('plays the rest of a morning that was cut short', async () => {
    const env = { SUNUP_DATA: join(folder, 'cut') }
    const late = ['demo', '--json', '--from', '05:40', '--speed', '10']
    const first = await startServer(late, env)
    for (const end = performance.now() + 60_000; !first.err().includes('playing the morning up to 05:40'); )
      if (performance.now() > end) throw new Error(first.err())
      else await new Promise(resolve => setTimeout(resolve, 10))
    first.child.kill('SIGKILL')
    await first.ended
    expect(first.out()).toBe('')

    const second = await startServer(late, env)
    const { now } = await nowOf(await said(second))
    expect(now).toBeGreaterThanOrEqual(Date.parse('2026-11-03T05:40:00-05:00'))
    expect((await second.stop()).code).toBe(0)
  })
})
