import { request as ask, createServer, type Server } from 'node:http'
import { type AddressInfo, connect } from 'node:net'
import { Writable } from 'node:stream'
import { afterEach, describe, expect, it } from 'vitest'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { createHttp, type HttpDeps } from '../../server/http/createHttp.ts'
import { HTTP_LIMITS } from '../../server/http/limits.ts'
import { makeMetrics } from '../../server/http/metrics.ts'
import { makeLog } from '../../server/log.ts'
import { enrolAnswer } from '../../server/protocol/device.ts'
import { memoryAccessStore } from '../support/memoryAccessStore.ts'

const servers: Server[] = []
afterEach(async () => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections()
    await new Promise(resolve => server.close(resolve))
  }
})

async function given(change: Partial<HttpDeps> = {}) {
  const access = makeAccess({
    store: memoryAccessStore(),
    now: change.now ?? Date.now,
    enrolRate: { perAddressPerMinute: 10, inAllPerMinute: 60 },
  })
  let logged = ''
  const sink = new Writable({
    write(chunk, _encoding, done) {
      logged += chunk
      done()
    },
  })
  const enrolled: string[] = []
  const listener = createHttp({
    access,
    routes: [
      {
        method: 'GET',
        pattern: '/api/v1/days/:day/board',
        who: ['desk', 'supervisor'],
        handle: asked => ({ status: 200, json: asked.params }),
      },
      {
        method: 'POST',
        pattern: '/api/v1/reports',
        who: ['device'],
        handle: ({ body, caller }) => ({ status: 200, json: { body, caller } }),
      },
      {
        method: 'POST',
        pattern: '/api/v1/days/:day/commands',
        who: ['desk'],
        body: 1_024,
        handle: ({ body }) => ({ status: 200, json: { body } }),
      },
      {
        method: 'GET',
        pattern: '/api/v1/address',
        who: 'anyone',
        handle: ({ address }) => ({ status: 200, json: { address } }),
      },
      {
        method: 'GET',
        pattern: '/api/v1/broken',
        who: 'anyone',
        handle() {
          throw new Error('hidden cause')
        },
      },
    ],
    pages(request, response) {
      response.end(
        JSON.stringify({
          page: request.url,
          nonce: request.headers['x-nonce'],
          policy: request.headers['content-security-policy'],
        }),
      )
    },
    ready: () => ({ ready: true }),
    enrolled: async device => void enrolled.push(device.id),
    metrics: makeMetrics(),
    log: makeLog('debug', sink),
    now: Date.now,
    publicUrl: null,
    tls: false,
    trustedProxies: 0,
    bodyMs: 300,
    ...change,
  })
  const server = createServer(listener)
  servers.push(server)
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  const url = `http://127.0.0.1:${port}`
  const signIn = async (role: 'desk' | 'rover' | 'supervisor' = 'desk') => {
    const link = await access.makeLink({ id: `p-${role}`, name: 'Rosa Lindqvist', role }, 60_000)
    return `sunup_session=${(await access.spendLink(link))!.session}`
  }
  const key = async (precinct = '014') => {
    const outcome = await access.enrol(await access.issueCode('ellery', precinct), '', '192.0.2.1')
    if (!outcome.ok) throw new Error(outcome.message)
    return outcome.key
  }
  return { access, url, port, signIn, key, enrolled, logged: () => logged }
}

const json = { 'content-type': 'application/json' }
const post = (url: string, body: string | Uint8Array<ArrayBuffer>, headers: Record<string, string> = json) =>
  fetch(url, { method: 'POST', body, headers, redirect: 'manual' })

/** Speaks HTTP by hand; resolves with everything that came back when the other side closed. */
function byHand(port: number, text: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1')
    let heard = ''
    socket.on('data', chunk => {
      heard += chunk
    })
    socket.on('close', () => resolve(heard))
    socket.on('error', reject)
    socket.write(text)
  })
}

describe('bodies', () => {
  it('takes JSON up to the limit and answers 413 with the limit above it', async () => {
    const { url, key } = await given()
    const headers = { ...json, authorization: `Bearer ${await key()}` }
    const fits = JSON.stringify('x'.repeat(HTTP_LIMITS.bodyBytes - 2))
    expect((await post(`${url}/api/v1/reports`, fits, headers)).status).toBe(200)
    const over = await post(`${url}/api/v1/reports`, `${fits} `, headers)
    expect(over.status).toBe(413)
    expect(await over.json()).toEqual({
      ok: false,
      problems: [{ path: '', message: 'The body is longer than 264 KiB (270336 bytes).' }],
    })
  })

  it('answers 413 to a body of unknown length too, and the server lives on', async () => {
    const { url, port, key } = await given()
    const status = await new Promise<number>((resolve, reject) => {
      const headers = { ...json, authorization: '', 'transfer-encoding': 'chunked' }
      key().then(value => {
        headers.authorization = `Bearer ${value}`
        const request = ask(
          { port, host: '127.0.0.1', path: '/api/v1/reports', method: 'POST', headers },
          response => {
            response.resume()
            resolve(response.statusCode ?? 0)
          },
        )
        request.on('error', reject)
        for (let i = 0; i < 20; i++) request.write('x'.repeat(32 * 1024))
        request.end()
      }, reject)
    })
    expect(status).toBe(413)
    expect((await fetch(`${url}/healthz`)).status).toBe(200)
  })

  it('cuts a slow body off with 408 and closes the connection', async () => {
    const { port, key } = await given()
    const started = performance.now()
    const heard = await byHand(
      port,
      `POST /api/v1/reports HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer ${await key()}\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{"a":`,
    )
    expect(heard).toMatch(/^HTTP\/1\.1 408 /)
    expect(heard).toMatch(/\r\nconnection: close\r\n/i)
    expect(performance.now() - started).toBeLessThan(2_000)
  })

  it.each([
    ['not JSON', '{"a":', json, 400],
    ['not UTF-8', new Uint8Array([0x22, 0xff, 0x22]), json, 400],
    ['empty', '', json, 400],
    ['a form', 'a=1', { 'content-type': 'application/x-www-form-urlencoded' }, 415],
    ['of no type', new Uint8Array([0x7b, 0x7d]), {} as Record<string, string>, 415],
    ['compressed', '{}', { ...json, 'content-encoding': 'gzip' }, 415],
  ])('refuses a body that is %s', async (_what, body, headers, status) => {
    const { url, key } = await given()
    const answer = await post(`${url}/api/v1/reports`, body, {
      ...headers,
      authorization: `Bearer ${await key()}`,
    })
    expect(answer.status).toBe(status)
    expect((await answer.json()).problems[0].message).toMatch(/\S/)
  })
})

describe('who may use a route', () => {
  it('P14 opens a device route to a device key alone', async () => {
    const { url, key, access, signIn } = await given()
    const good = await post(`${url}/api/v1/reports`, '{}', {
      ...json,
      authorization: `Bearer ${await key('031')}`,
    })
    expect(good.status).toBe(200)
    expect((await good.json()).caller.device.precinct).toBe('031')
    const token = await access.makeToken({ id: 'p-1', name: 'Sam Okafor', role: 'supervisor' })
    const others: Array<Record<string, string>> = [
      {},
      { authorization: `Bearer ${token}` },
      { authorization: 'Basic eDp5' },
      { cookie: await signIn() },
    ]
    for (const headers of others) {
      const answer = await post(`${url}/api/v1/reports`, '{}', { ...json, ...headers })
      expect(answer.status).toBe(401)
      expect(answer.headers.get('www-authenticate')).toBe('Bearer')
    }
  })

  it('P14 refuses a revoked key at the next request', async () => {
    const { url, key, access } = await given()
    const headers = { ...json, authorization: `Bearer ${await key()}` }
    expect((await post(`${url}/api/v1/reports`, '{}', headers)).status).toBe(200)
    await access.revoke((await access.devicesOf('ellery'))[0]!.id)
    expect((await post(`${url}/api/v1/reports`, '{}', headers)).status).toBe(401)
  })

  it('P14 opens a route of people to the roles it lists: 401 for nobody and for devices, 403 for other roles', async () => {
    const { url, signIn, key } = await given()
    const board = (headers: Record<string, string>) =>
      fetch(`${url}/api/v1/days/ellery%20day/board`, { headers })
    const good = await board({ cookie: await signIn('supervisor') })
    expect([good.status, await good.json()]).toEqual([200, { day: 'ellery day' }])
    expect((await board({})).status).toBe(401)
    expect((await board({ authorization: `Bearer ${await key()}` })).status).toBe(401)
    const rover = await board({ cookie: await signIn('rover') })
    expect(rover.status).toBe(403)
    expect((await rover.json()).problems[0].message).toBe('This is for desk and supervisor only.')
  })

  it('P14 does not let a cookie stand in for a bad bearer', async () => {
    const { url, signIn } = await given()
    const headers = { cookie: await signIn(), authorization: `Bearer ${'x'.repeat(43)}` }
    expect((await fetch(`${url}/api/v1/days/ellery/board`, { headers })).status).toBe(401)
  })

  it('P14 takes a write by cookie only from a page of its own; a bearer needs no Origin', async () => {
    const { url, signIn, access } = await given()
    const cookie = await signIn()
    const write = (headers: Record<string, string>) =>
      post(`${url}/api/v1/days/ellery/commands`, '{}', { ...json, ...headers })
    expect((await write({ cookie, origin: url })).status).toBe(200)
    expect((await write({ cookie })).status).toBe(403)
    expect((await write({ cookie, origin: 'null' })).status).toBe(403)
    expect((await write({ cookie, origin: 'https://elsewhere.example' })).status).toBe(403)
    const token = await access.makeToken({ id: 'p-2', name: 'Sam Okafor', role: 'desk' })
    expect((await write({ authorization: `Bearer ${token}` })).status).toBe(200)
  })

  it('takes the public address as Origin behind a proxy that changes Host', async () => {
    const { url, signIn } = await given({ publicUrl: 'https://board.example.gov' })
    const write = async (origin: string) =>
      (await post(`${url}/api/v1/days/ellery/commands`, '{}', { ...json, cookie: await signIn(), origin }))
        .status
    expect(await write('https://board.example.gov')).toBe(200)
    expect(await write('https://board.example.gov.elsewhere.example')).toBe(403)
  })
})

describe('paths', () => {
  it('answers an unknown API path, another method and an odd path in JSON; pages get the rest', async () => {
    const { url, port } = await given()
    const unknown = await fetch(`${url}/api/v1/nothing`)
    expect([unknown.status, (await unknown.json()).ok]).toEqual([404, false])
    const method = await fetch(`${url}/api/v1/reports`)
    expect([method.status, method.headers.get('allow')]).toEqual([405, 'POST'])
    expect((await fetch(`${url}/api/v1/days/%E0%A4%A/board`)).status).toBe(404)
    expect((await fetch(`${url}/${'x'.repeat(3_000)}`)).status).toBe(414)
    expect(
      await byHand(port, 'GET //elsewhere.example/desk HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n'),
    ).toContain('"page":"//elsewhere.example/desk"')
    expect((await (await fetch(`${url}/desk?x=1`)).json()).page).toBe('/desk?x=1')
  })

  it('hides the cause of a failure from the caller and notes it in the log', async () => {
    const { url, logged } = await given()
    const answer = await fetch(`${url}/api/v1/broken`)
    expect(answer.status).toBe(500)
    expect(await answer.text()).not.toContain('hidden cause')
    expect(logged()).toContain('hidden cause')
  })

  it('logs routes, never paths, queries, addresses or keys', async () => {
    const { url, logged, key } = await given()
    const secret = await key()
    await fetch(`${url}/api/v1/days/ellery/board?who=SECRET`, {
      headers: { authorization: `Bearer ${secret}` },
    })
    await fetch(`${url}/enter?key=${secret}`)
    await expect.poll(logged).toContain('/api/v1/days/:day/board')
    for (const text of [secret, 'SECRET', '127.0.0.1']) expect(logged()).not.toContain(text)
  })
})

describe('health and figures', () => {
  it('tells alive from caught up', async () => {
    const state = { ready: false, why: 'reading the log' }
    const { url } = await given({ ready: () => state })
    expect((await fetch(`${url}/healthz`)).status).toBe(200)
    const before = await fetch(`${url}/readyz`)
    expect([before.status, await before.text()]).toEqual([503, 'reading the log\n'])
    state.ready = true
    expect((await fetch(`${url}/readyz`)).status).toBe(200)
  })

  it('gives figures as Prometheus text, by route', async () => {
    const { url } = await given()
    await fetch(`${url}/healthz`)
    const text = await (await fetch(`${url}/metrics`)).text()
    expect(text).toMatch(/^process_resident_memory_bytes \d+$/m)
    expect(text).toMatch(/^sunup_http_seconds_count\{route="\/healthz",status="200"\} 1$/m)
  })
})

describe('headers', () => {
  it('hands pages a fresh nonce, whatever the caller sent under that name', async () => {
    const { url } = await given()
    const first = await fetch(`${url}/desk`, {
      headers: { 'x-nonce': 'mine', 'content-security-policy': "script-src 'nonce-mine'" },
    })
    const { nonce, policy } = await first.json()
    expect(nonce).not.toBe('mine')
    expect(policy).toBe(first.headers.get('content-security-policy'))
    expect(policy).toContain(`script-src 'self' 'nonce-${nonce}' 'strict-dynamic';`)
    expect(policy).toContain(`connect-src 'self' ws://${new URL(url).host} wss://${new URL(url).host};`)
    expect(policy).toContain("frame-ancestors 'none'")
    expect((await (await fetch(`${url}/desk`)).json()).nonce).not.toBe(nonce)
  })

  it('keeps browsers from guessing types, framing and telling others where they came from', async () => {
    const { url } = await given()
    const { headers } = await fetch(`${url}/healthz`)
    expect(headers.get('x-content-type-options')).toBe('nosniff')
    expect(headers.get('referrer-policy')).toBe('same-origin')
    expect(headers.get('permissions-policy')).toContain('camera=()')
    expect(headers.get('cache-control')).toBe('no-store')
    expect(headers.get('strict-transport-security')).toBeNull()
  })

  it('insists on https from then on where people come by https', async () => {
    for (const change of [{ tls: true }, { publicUrl: 'https://board.example.gov' }]) {
      const { headers } = await fetch(`${(await given(change)).url}/healthz`)
      expect(headers.get('strict-transport-security')).toBe('max-age=31536000')
      expect(headers.get('content-security-policy')).not.toContain(' ws://')
    }
  })

  it('leaves an odd Host out of the policy', async () => {
    const { port } = await given()
    const heard = await byHand(
      port,
      'GET /healthz HTTP/1.1\r\nHost: x; script-src *\r\nConnection: close\r\n\r\n',
    )
    expect(heard).toMatch(/connect-src 'self';/)
    expect(heard).not.toContain('script-src *')
  })
})

describe("the caller's address", () => {
  const addressOf = async (trustedProxies: number, forwarded: string) => {
    const { url } = await given({ trustedProxies })
    const answer = await fetch(`${url}/api/v1/address`, { headers: { 'x-forwarded-for': forwarded } })
    return (await answer.json()).address
  }

  it.each([
    [0, '203.0.113.9', '127.0.0.1'],
    [1, '203.0.113.9', '203.0.113.9'],
    [1, '198.51.100.1, 203.0.113.9', '203.0.113.9'],
    [2, '198.51.100.1, 203.0.113.9', '198.51.100.1'],
    [3, '198.51.100.1, 203.0.113.9', '198.51.100.1'],
    [2, 'made up, 203.0.113.9', '203.0.113.9'],
    [1, '203.0.113.9:4711', '203.0.113.9'],
    [1, '[2001:db8::1]:4711', '2001:db8::1'],
  ])('with %i trusted proxies and %j is %s', async (proxies, forwarded, address) => {
    expect(await addressOf(proxies, forwarded)).toBe(address)
  })
})

describe('enrolment', () => {
  it('gives a key for a code, once, and notes the device in the log of the day', async () => {
    const { url, access, enrolled } = await given()
    const code = await access.issueCode('ellery', '014')
    const answer = await post(`${url}/api/v1/enrol`, JSON.stringify({ code, label: 'Front table' }))
    expect(answer.status).toBe(200)
    const body = enrolAnswer.parse(await answer.json())
    expect(body).toMatchObject({ ok: true, day: 'ellery', precinct: '014', upTo: 0 })
    expect(enrolled).toEqual([(body as { device: string }).device])
    const again = await post(`${url}/api/v1/enrol`, JSON.stringify({ code }))
    expect(again.status).toBe(403)
    expect(enrolAnswer.parse(await again.json())).toMatchObject({
      ok: false,
      problems: [{ path: 'code.used-code' }],
    })
  })

  it('gives the key even where the log cannot take the note, and says so in its own log', async () => {
    const { url, access, logged } = await given({ enrolled: () => Promise.reject(new Error('no database')) })
    const code = await access.issueCode('ellery', '014')
    expect((await post(`${url}/api/v1/enrol`, JSON.stringify({ code }))).status).toBe(200)
    expect(logged()).toContain('enrolment not noted')
  })

  it('P14 answers 400 to what is no request, and 429 with Retry-After to guessing', async () => {
    const { url } = await given()
    const odd = await post(`${url}/api/v1/enrol`, JSON.stringify({ code: 'short', extra: 1 }))
    expect(odd.status).toBe(400)
    expect((await odd.json()).problems.map((problem: { path: string }) => problem.path)).toContain('code')
    for (let i = 0; i < 10; i++) {
      expect((await post(`${url}/api/v1/enrol`, JSON.stringify({ code: 'AAAAA-AAAAA' }))).status).toBe(403)
    }
    const slowed = await post(`${url}/api/v1/enrol`, JSON.stringify({ code: 'AAAAA-AAAAA' }))
    expect(slowed.status).toBe(429)
    expect(Number(slowed.headers.get('retry-after'))).toBeGreaterThan(0)
    expect(enrolAnswer.parse(await slowed.json())).toMatchObject({
      ok: false,
      retryAfter: expect.any(Number),
    })
  })
})

describe('signing in', () => {
  const form = { 'content-type': 'application/x-www-form-urlencoded' }

  it('shows a button, which alone uses the link up, and goes to the desk with a session', async () => {
    const { url, access } = await given()
    const link = await access.makeLink({ id: 'p-1', name: 'Rosa Lindqvist', role: 'desk' }, 60_000)
    for (let i = 0; i < 2; i++) {
      const page = await (await fetch(`${url}/enter?key=${link}`)).text()
      expect(page).toContain(`name="key" value="${link}"`)
      expect(page).toContain('<button>Sign in</button>')
    }
    const entered = await post(`${url}/enter`, `key=${link}`, { ...form, origin: url })
    expect([entered.status, entered.headers.get('location')]).toEqual([303, '/desk'])
    const [set] = entered.headers.getSetCookie()
    expect(set).toMatch(/^sunup_session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Max-Age=57\d{3}$/)
    const cookie = set!.split(';')[0]!
    expect((await fetch(`${url}/api/v1/days/ellery/board`, { headers: { cookie } })).status).toBe(200)

    const again = await post(`${url}/enter`, `key=${link}`, { ...form, origin: url })
    expect(again.status).toBe(410)
    expect(await again.text()).toContain('whoever set up your county’s Sunup for a new link')
    const signedIn = await post(`${url}/enter`, `key=${link}`, { ...form, origin: url, cookie })
    expect(await signedIn.text()).toContain('You are signed in already, as Rosa Lindqvist.')

    const left = await post(`${url}/leave`, '', { ...form, origin: url, cookie })
    expect(left.headers.getSetCookie()[0]).toMatch(/^sunup_session=; .*Max-Age=0$/)
    expect((await fetch(`${url}/api/v1/days/ellery/board`, { headers: { cookie } })).status).toBe(401)
  })

  it.each([
    ['rover', '/rover'],
    ['receiving', '/receiving'],
    ['admin', '/setup'],
    ['supervisor', '/desk'],
  ] as const)('leads a %s to %s after entering', async (role, home) => {
    const { url, access } = await given()
    const link = await access.makeLink({ id: 'p-1', name: 'Rosa Lindqvist', role }, 60_000)
    const entered = await post(`${url}/enter`, `key=${link}`, { ...form, origin: url })
    expect(entered.headers.get('location')).toBe(home)
  })

  const words = 'seven herons over the marsh'
  const invited = async (access: Awaited<ReturnType<typeof given>>['access']) => {
    const account = { name: '<b>Rosa</b>', email: 'rosa@office.example', role: 'rover' } as const
    const made = await access.invite(account, 'p-odile')
    if (!made.ok) throw new Error('not invited')
    return made.link.secret
  }
  const fields = (given: Record<string, string>) => new URLSearchParams(given).toString()

  it('lets somebody who is invited choose a password, says what is wrong with it, and keeps the link till then', async () => {
    const { url, access } = await given()
    const key = await invited(access)
    const page = await (await fetch(`${url}/enter?key=${key}`)).text()
    expect(page).toContain('<button>Choose a password</button>')
    const asked = await post(`${url}/enter`, fields({ key }), { ...form, origin: url })
    const text = await asked.text()
    expect(asked.status).toBe(200)
    expect(text).toContain('&#60;b&#62;Rosa&#60;/b&#62;')
    expect(text).not.toContain('<b>')
    const set = (password: string) =>
      post(`${url}/enter/password`, fields({ key, password }), { ...form, origin: url })
    const short = await set('too short')
    expect(short.status).toBe(422)
    expect(await short.text()).toContain('Use at least 15 characters: this one has 9.')
    const expected = await set('Ellery County 2026')
    expect(expected.status).toBe(422)
    const good = await set(words)
    expect([good.status, good.headers.get('location')]).toEqual([303, '/rover'])
    expect(good.headers.getSetCookie()).toEqual([
      expect.stringMatching(/^sunup_session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Lax; Max-Age=57\d{3}$/),
      expect.stringMatching(/^sunup_browser=[\w-]{43}; Path=\/sign-in; HttpOnly; SameSite=Lax; Max-Age=\d+$/),
    ])
    expect((await set(words)).status).toBe(410)
  })

  it('signs in by e-mail and password, back to the page that was asked for if the role opens it', async () => {
    const { url, access } = await given()
    await access.setPassword(await invited(access), words)
    const signIn = (to: string, password = words) =>
      post(`${url}/sign-in`, fields({ email: 'rosa@office.example', password, to }), { ...form, origin: url })
    for (const [to, leads] of [
      ['', '/rover'],
      ['/desk/sheet', '/desk/sheet'],
      ['/setup', '/rover'],
      ['//elsewhere.example', '/rover'],
      ['https://elsewhere.example/desk', '/rover'],
    ] as const)
      expect((await signIn(to)).headers.get('location'), to).toBe(leads)
    const wrong = await signIn('/desk', 'seven herons')
    expect([wrong.status, wrong.headers.getSetCookie()]).toEqual([403, []])
    const text = await wrong.text()
    expect(text).toContain('E-mail or password is not right.')
    expect(text).not.toContain('seven herons')
  })

  it('P14 slows guessing with 429 and Retry-After, and takes no sign-in form from another site', async () => {
    const { url } = await given({ now: () => Date.UTC(2026, 10, 3, 10) })
    const guess = (n: number, origin: Record<string, string> = { origin: url }) =>
      post(`${url}/sign-in`, fields({ email: `n${n}`, password: 'x' }), { ...form, ...origin })
    for (const origin of [{}, { origin: 'https://elsewhere.example' }] as Array<Record<string, string>>)
      expect((await guess(0, origin)).status).toBe(403)
    let answer = await guess(0)
    for (let i = 1; i <= 20; i++) answer = await guess(i)
    expect([answer.status, answer.headers.get('retry-after')]).toEqual([429, '3'])
    expect(await answer.text()).toContain('Wait 3 seconds')
  })

  it('P14 takes neither form from another site', async () => {
    const { url, access, signIn } = await given()
    const link = await access.makeLink({ id: 'p-1', name: 'Rosa Lindqvist', role: 'desk' }, 60_000)
    const cookie = await signIn()
    for (const origin of [{}, { origin: 'https://elsewhere.example' }] as Array<Record<string, string>>) {
      expect((await post(`${url}/enter`, `key=${link}`, { ...form, ...origin })).status).toBe(403)
      expect((await post(`${url}/leave`, '', { ...form, ...origin, cookie })).status).toBe(403)
    }
    expect(await access.spendLink(link)).not.toBeNull()
  })

  it('never repeats what is no link', async () => {
    const { url } = await given()
    const page = await (await fetch(`${url}/enter?key=%22%3E%3Cscript%3Ealert(1)%3C/script%3E`)).text()
    expect(page).not.toContain('alert')
    expect(page).toContain('Sign in by your link')
    expect((await post(`${url}/enter`, `key=${'x'.repeat(5_000)}`, { ...form, origin: url })).status).toBe(
      413,
    )
  })

  it('marks the cookie Secure where people come by https', async () => {
    const { url, access } = await given({ publicUrl: 'https://board.example.gov' })
    const link = await access.makeLink({ id: 'p-1', name: 'Rosa Lindqvist', role: 'desk' }, 60_000)
    const entered = await post(`${url}/enter`, `key=${link}`, {
      ...form,
      origin: 'https://board.example.gov',
    })
    expect(entered.headers.getSetCookie()[0]).toMatch(/; Secure$/)
  })
})
