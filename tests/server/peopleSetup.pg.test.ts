import { io } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { connect } from '../../db/connect.ts'
import { BY_COMMAND } from '../../server/access/access.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { accounts, apiTokens, linkMade, tokenMade } from '../../server/protocol/setup.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { type RunningSunup, runSunup } from '../support/runSunup.ts'

/** People as an administrator sets them up, over the API; and what another process of the same database does. */
let database: string
let running: RunningSunup
let cookie: string
let odile: string

beforeAll(async () => {
  database = await freshDatabase()
  running = await runSunup({ url: database, plan: aPlan() })
  const odileToBe = { name: 'Odile', email: 'odile@ellery.example', role: 'admin' } as const
  const made = await running.sunup.access.invite(odileToBe, BY_COMMAND)
  if (!made.ok) throw new Error('not invited')
  odile = made.link.person
  const set = await running.sunup.access.setPassword(made.link.secret, 'seven herons over the marsh')
  if (!set.ok) throw new Error(set.reason)
  cookie = `sunup_session=${set.session}`
})
afterAll(() => running.stop())

const ask = async (path: string, body?: unknown) => {
  const answer = await fetch(`${running.url}/api/v1/setup/${path}`, {
    method: body === undefined ? 'GET' : 'POST',
    headers: { Cookie: cookie, Origin: running.url, 'Content-Type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })
  return { status: answer.status, json: await answer.json() }
}
const people = async () => accounts.parse((await ask('people')).json).people
const bearer = (token: string) =>
  fetch(`${running.url}/api/v1/days`, { headers: { Authorization: `Bearer ${token}` } })

describe('people over the API', () => {
  it('are invited, with a link that is a path of this server, once for each e-mail', async () => {
    const made = await ask('people', {
      name: 'Nell',
      email: 'Nell@ellery.example',
      role: 'rover',
      post: 'ana',
    })
    expect(made.status).toBe(200)
    const { person, link } = linkMade.parse(made.json)
    expect((await fetch(running.url + link)).status).toBe(200)
    expect((await people()).find(one => one.id === person)).toEqual({
      id: person,
      name: 'Nell',
      email: 'nell@ellery.example',
      role: 'rover',
      post: 'ana',
      is: 'invited',
      sessions: 0,
    })
    const again = await ask('people', { name: 'N', email: 'nell@ELLERY.example', role: 'desk' })
    expect(again).toMatchObject({ status: 409, json: { ok: false, problems: [{ path: 'email' }] } })
  })

  it.each([
    [{ name: '', email: 'x@ellery.example', role: 'desk' }, 'name'],
    [{ name: 'X', email: 'nobody', role: 'desk' }, 'email'],
    [{ name: 'X', email: 'x@ellery.example', role: 'clerk' }, 'role'],
    [{ name: 'X', email: 'x@ellery.example', role: 'rover', post: 'not a code!' }, 'post'],
  ])('are refused by field: %j', async (body, path) => {
    const answer = await ask('people', body)
    expect(answer).toMatchObject({ status: 400, json: { ok: false, problems: [{ path }] } })
  })

  it('are changed, switched off and given links; nobody and the last administrator are refused', async () => {
    const made = linkMade.parse(
      (await ask('people', { name: 'Sam', email: 'sam@ellery.example', role: 'desk' })).json,
    )
    expect(await ask(`people/${made.person}`, { role: 'supervisor', post: null })).toEqual({
      status: 200,
      json: { ok: true },
    })
    const fresh = linkMade.parse((await ask(`people/${made.person}/link`, { for: 'password' })).json)
    expect((await fetch(running.url + made.link)).status).toBe(410)
    expect((await fetch(running.url + fresh.link)).status).toBe(200)
    await ask(`people/${made.person}`, { off: true })
    expect((await people()).find(one => one.id === made.person)).toMatchObject({
      is: 'off',
      role: 'supervisor',
    })
    expect((await ask(`people/${made.person}/link`, { for: 'sign-in' })).status).toBe(404)
    expect((await ask('people/person-nobody', { off: true })).status).toBe(404)
    const last = await ask(`people/${odile}`, { role: 'desk' })
    expect(last).toMatchObject({ status: 409, json: { ok: false, problems: [{ path: 'role' }] } })
    expect((await people()).find(one => one.id === odile)).toMatchObject({ role: 'admin', sessions: 1 })
  })

  it('P14 give programs tokens with a role, shown once, until they are ended', async () => {
    const made = await ask('tokens', { label: 'wall display', role: 'supervisor' })
    const { id, token } = tokenMade.parse(made.json)
    expect((await bearer(token)).status).toBe(200)
    const listed = await ask('tokens')
    expect(JSON.stringify(listed.json)).not.toContain(token)
    const [line] = apiTokens.parse(listed.json).tokens
    expect(line).toMatchObject({ id, label: 'wall display', role: 'supervisor' })
    expect(line?.usedAt).not.toBeNull()
    expect((await ask(`tokens/${id}/end`, {})).status).toBe(200)
    expect((await bearer(token)).status).toBe(401)
    expect((await ask(`tokens/${id}/end`, {})).status).toBe(404)
    expect(apiTokens.parse((await ask('tokens')).json).tokens).toEqual([])
  })

  it('P14 keeps no secret in the tables: neither password, link, session, browser nor token', async () => {
    const sql = connect(database, { max: 1 })
    const made = linkMade.parse(
      (await ask('people', { name: 'Vera', email: 'vera@ellery.example', role: 'desk' })).json,
    )
    const secret = made.link.split('key=')[1]!
    const password = 'herring gulls at the quay'
    const set = await running.sunup.access.setPassword(secret, password)
    if (!set.ok) throw new Error(set.reason)
    const { token } = await running.sunup.access.makeProgramToken('x', 'desk', odile)
    let text = ''
    for (const table of [
      'person',
      'credential',
      'session',
      'sign_in_link',
      'known_browser',
      'api_token',
      'people_log',
    ])
      text += JSON.stringify(await sql.unsafe(`select * from ${table}`))
    await sql.end()
    expect(text).toContain('vera@ellery.example')
    for (const hidden of [secret, password, set.session, set.browser.secret, token])
      expect(text).not.toContain(hidden)
  })
})

describe('another process of the same database', () => {
  it('P14 switches somebody off, and their open board here is closed within half a minute', async () => {
    const made = await running.sunup.access.invite(
      { name: 'Ivo', email: 'ivo@ellery.example', role: 'desk' },
      odile,
    )
    if (!made.ok) throw new Error('not invited')
    const set = await running.sunup.access.setPassword(made.link.secret, 'seven herons over the marsh')
    if (!set.ok) throw new Error(set.reason)
    const socket = io(`${running.url}/board`, {
      extraHeaders: { Cookie: `sunup_session=${set.session}`, Origin: running.url },
      transports: ['websocket'],
      forceNew: true,
      reconnection: false,
    })
    await new Promise<void>(resolve => void socket.once('connect', () => resolve()))
    const closed = new Promise<string>(resolve => void socket.once('disconnect', resolve))
    const elsewhere = otherProcess(database)
    const started = performance.now()
    await elsewhere.access.changeAccount(made.link.person, { off: true }, BY_COMMAND)
    expect(await closed).toBe('io server disconnect')
    expect(performance.now() - started).toBeLessThan(30_000)
    await elsewhere.end()
  }, 40_000)
})

/** As the `sunup` command does it. */
function otherProcess(url: string) {
  const sql = connect(url, { max: 1 })
  const access = makeAccess({
    store: openAccessStore(sql),
    now: Date.now,
    enrolRate: { perAddressPerMinute: 1, inAllPerMinute: 1 },
  })
  return { access, end: () => sql.end() }
}
