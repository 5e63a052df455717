import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { connectDevice } from '../support/runSunup.ts'
import { type SetupServer, setupServer } from '../support/setupServer.ts'

/** A tablet that is lost while its day does not run: an administrator takes its key back at once all the same. */
let database: string
let server: SetupServer
beforeAll(async () => {
  database = await freshDatabase()
  server = await setupServer({ url: database })
})
afterAll(() => server?.stop())

const restart = async () => {
  await server.stop()
  server = await setupServer({ url: database })
}
async function enrolled(day: string, precinct: string): Promise<{ id: string; key: string }> {
  const { json } = await server.post(
    'enrol',
    { code: await server.sunup.access.issueCode(day, precinct) },
    '',
  )
  return { id: json.device, key: json.key }
}
const revoke = (day: string, device: string) => server.post(`setup/days/${day}/revoke`, { device })
const keyed = (key: string) => server.post('heartbeat', {}, key)
const logOf = async (day: string) =>
  (await server.sunup.log.read(day, 0, 500)).map(({ entry }) => entry).filter(e => e.kind === 'DeviceRevoked')

describe('a device of a day that does not run', () => {
  it('P14 is refused at once when it is revoked on a kept day, whose plan can still be replaced, and the log has it', async () => {
    const plan = aPlan({ kind: 'election', date: '2026-06-02' })
    const day = await server.keep(plan)
    const lost = await enrolled(day, 'E-01')
    const other = await enrolled(day, 'E-02')
    expect((await keyed(lost.key)).status).toBe(400)
    expect(await revoke(day, lost.id)).toEqual({ status: 200, json: { ok: true } })
    expect((await keyed(lost.key)).status).toBe(401)
    expect((await keyed(other.key)).status).toBe(400)
    expect(await server.sunup.days.begun(day)).toBe(false)
    expect((await server.get(`days/${day}/devices`)).json.devices).toMatchObject([
      { id: lost.id, revokedAt: expect.any(Number) },
      { id: other.id, revokedAt: null },
    ])
    // It never spoke: the log has it all the same, once, also after another start.
    expect((await server.post(`setup/days/${day}/open`, {})).json).toEqual({ ok: true })
    const noted = [{ precinct: 'E-01', source: 'system', body: { device: lost.id } }]
    expect(await logOf(day)).toMatchObject(noted)
    expect(server.sunup.running.get(day)!.state().precincts.get('E-01')!.device).toBeNull()
    await restart()
    expect(server.sunup.running.has(day)).toBe(true)
    expect(await logOf(day)).toMatchObject(noted)
  })

  it('P14 of a stopped day too, and the log has it once when the day runs next', async () => {
    const day = await server.keep(aPlan({ kind: 'practice', date: '2026-06-03' }))
    const practise = () => server.post(`setup/days/${day}/practise`, { speed: 1, simulated: false })
    expect((await practise()).json).toEqual({ ok: true })
    const lost = await enrolled(day, 'E-01')
    const tablet = await connectDevice(server.url, lost.key)
    await tablet.say(1, 'TeamReported', { present: 8, missing: [] })
    tablet.close()
    expect((await revoke(day, lost.id)).json).toEqual({
      ok: false,
      problems: [{ path: 'day', message: `${day} runs: revoke it by the command RevokeDevice` }],
    })
    await restart()
    expect(await server.day(day)).toMatchObject({ is: 'stopped' })
    const head = await server.sunup.log.head(day)
    expect((await revoke(day, lost.id)).json).toEqual({ ok: true })
    expect((await revoke(day, lost.id)).json).toEqual({ ok: true })
    expect((await keyed(lost.key)).status).toBe(401)
    expect(await server.sunup.log.head(day)).toEqual(head)

    expect((await practise()).json).toEqual({ ok: true })
    expect(await logOf(day)).toMatchObject([{ precinct: 'E-01', body: { device: lost.id } }])
    expect(server.sunup.running.get(day)!.state().precincts.get('E-01')!.device).toBeNull()
    await restart()
    expect((await practise()).json).toEqual({ ok: true })
    expect(await logOf(day)).toHaveLength(1)
  })

  it('is refused where there is no such device or day, where the day is closed, and to who is no administrator', async () => {
    const day = await server.keep(aPlan({ kind: 'election', date: '2026-06-04' }))
    const lost = await enrolled(day, 'E-01')
    expect(await revoke(day, 'd-nobody')).toEqual({
      status: 409,
      json: { ok: false, problems: [{ path: 'device', message: 'there is no such device on this day' }] },
    })
    expect((await revoke('nowhere', lost.id)).status).toBe(404)
    const desk = await server.tokenOf('desk')
    expect((await server.post(`setup/days/${day}/revoke`, { device: lost.id }, desk)).status).toBe(403)
    await server.post(`setup/days/${day}/open`, {})
    await server.post(`setup/days/${day}/close`, { confirm: day })
    expect((await revoke(day, lost.id)).json).toMatchObject({ ok: false, problems: [{ path: 'day' }] })
  })
})
