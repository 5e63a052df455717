import { mkdtempSync, rmSync } from 'node:fs'
import type { IncomingHttpHeaders } from 'node:http'
import { request } from 'node:https'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { io, type Socket } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { checkoutFolder } from '../../server/where.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { IMRE, type RunningSunup, runSunup } from '../support/runSunup.ts'
import { selfSigned } from '../support/selfSigned.ts'

/** TLS by certificate settings: pages, API, both socket links. */
let folder: string
let cert: string
let running: RunningSunup
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-tls-'))
  const made = selfSigned(folder)
  cert = made.cert
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    tls: { certFile: made.certFile, keyFile: made.keyFile },
    pagesFolder: checkoutFolder(),
  })
})
afterAll(async () => {
  await running.stop()
  rmSync(folder, { recursive: true, force: true })
})

type Answer = { status: number; headers: IncomingHttpHeaders; text: string }

function ask(
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string } = {},
) {
  return new Promise<Answer>((resolve, reject) => {
    const { method = 'GET', headers = {}, body } = options
    const asked = request(`${running.url}${path}`, { method, headers, ca: cert }, response => {
      let text = ''
      response.on('data', chunk => {
        text += chunk
      })
      response.on('end', () => resolve({ status: response.statusCode!, headers: response.headers, text }))
    })
    asked.once('error', reject)
    asked.end(body)
  })
}

function connected(socket: Socket): Promise<Socket> {
  return new Promise((resolve, reject) => {
    socket.once('connect', () => resolve(socket))
    socket.once('connect_error', reject)
  })
}

describe('over https and wss', () => {
  it('pages, sign-in and API answer, each with the headers that keep browsers careful', async () => {
    for (const path of ['/', '/precinct', '/enter', '/api/v1/days', '/healthz', '/nowhere']) {
      const { headers } = await ask(path)
      expect(headers, path).toMatchObject({
        'strict-transport-security': 'max-age=31536000',
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'same-origin',
        'cross-origin-opener-policy': 'same-origin',
      })
      expect(headers['content-security-policy'], path).toContain("frame-ancestors 'none'")
      expect(headers['content-security-policy'], path).toContain(`wss://127.0.0.1:${running.port}`)
      expect(headers['content-security-policy'], path).not.toContain(' ws://')
      expect(headers['x-powered-by'], path).toBeUndefined()
    }
    expect((await ask('/precinct')).status).toBe(200)
    expect((await ask('/api/v1/days')).status).toBe(401)
  })

  it('a device enrols and reports by wss; a board sees it by wss', async () => {
    const code = await running.sunup.access.issueCode(running.day, 'E-01')
    const enrolled = await ask('/api/v1/enrol', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ code }),
    })
    const { key } = JSON.parse(enrolled.text) as { key: string }
    await running.sunup.access.addPerson(IMRE)
    const options = { ca: cert, transports: ['websocket'], forceNew: true }
    const device = await connected(io(`${running.url}/precinct`, { ...options, auth: { key } }))
    const token = await running.sunup.access.makeToken(IMRE)
    const board = await connected(io(`${running.url}/board`, { ...options, auth: { token } }))
    const at = new Date().toISOString()
    const reports = [{ number: 1, at, kind: 'TeamReported', body: { present: 8, missing: [] } }]
    expect(await device.emitWithAck('report', { sentAt: at, reports })).toMatchObject({ ok: true, upTo: 1 })
    const { snapshot } = await board.emitWithAck('subscribe', { day: running.day })
    const row = snapshot.rows.find((r: { code: string }) => r.code === 'E-01')
    expect(row.standing).toBe('setting-up')
    device.disconnect()
    board.disconnect()
  })

  it('a signed-in session’s cookie is Secure and opens the board’s socket', async () => {
    const key = await running.sunup.access.makeLink(IMRE, 60_000)
    const entered = await ask('/enter', {
      method: 'POST',
      headers: { Origin: running.url, 'Content-Type': 'application/x-www-form-urlencoded' },
      body: `key=${key}`,
    })
    expect(entered.status).toBe(303)
    const set = entered.headers['set-cookie']![0]!
    expect(set).toMatch(/; HttpOnly; SameSite=Lax; .*; Secure$/)
    const socket = io(`${running.url}/board`, {
      ca: cert,
      transports: ['websocket'],
      forceNew: true,
      extraHeaders: { Cookie: set.split(';')[0]!, Origin: running.url },
    })
    await connected(socket)
    expect(await socket.emitWithAck('subscribe', { day: running.day })).toMatchObject({ ok: true })
    socket.disconnect()
  })

  it('nobody is answered in the clear', async () => {
    await expect(fetch(`http://127.0.0.1:${running.port}/healthz`)).rejects.toThrow()
  })
})
