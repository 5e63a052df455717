import { chmodSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { freshDatabase } from '../support/database.ts'
import { electionFolder } from '../support/planFolder.ts'
import { addressOf, startServer, sunup } from '../support/programs.ts'
import { connectDevice, until } from '../support/runSunup.ts'

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'sunup-quiet-'))
  chmodSync(folder, 0o755)
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

it('at the most talkative levels, what a server says and counts holds no key, code, cookie, words, name or number', async () => {
  const url = await freshDatabase()
  const env = { DATABASE_URL: url, SUNUP_LOG: 'trace' }
  const dir = electionFolder(join(folder, 'plan'))
  const read = readPlanFolder(dir)
  if ('faults' in read) throw new Error('a plan with faults')
  const { plan } = read
  const day = /^day (\S+)$/m.exec((await sunup(['plan', 'import', dir], env)).out)![1]!
  const [precinct, , code] = (await sunup(['codes', day], env)).out.split('\n')[1]!.split(',')
  const secretLink = (await sunup(['link', 'Wilhelmina', '--role', 'desk'], env)).out.trim()
  const server = await startServer(['start'], env)
  const address = await addressOf(server)
  const json = { 'Content-Type': 'application/json' }

  const enrolled = await fetch(`${address}/api/v1/enrol`, {
    method: 'POST',
    headers: json,
    body: JSON.stringify({ code, label: 'Ottilie’s tablet' }),
  })
  const { key } = (await enrolled.json()) as { key: string }
  const device = await connectDevice(address, key)
  const what = 'a gentleman in a green hat fainted by the door'
  expect(await device.say(1, 'IncidentNoted', { category: 'medical', what })).toMatchObject({ upTo: 1 })
  // What is refused or can't be read is noted too, and must not be repeated.
  expect(await device.say(2, 'IncidentNoted', { category: what, what })).toMatchObject({ upTo: 2 })
  for (const body of [`{"code":"${code}"`, JSON.stringify({ code, label: what })])
    await fetch(`${address}/api/v1/enrol`, { method: 'POST', headers: json, body })
  await fetch(`${address}/api/v1/reports?key=${key}`, {
    method: 'POST',
    headers: { ...json, Authorization: `Bearer ${key}x` },
    body: '{',
  })

  const entered = await fetch(`${address}/enter`, {
    method: 'POST',
    redirect: 'manual',
    headers: { Origin: address, 'Content-Type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ key: secretLink.split('key=')[1]! }),
  })
  const cookie = entered.headers.get('set-cookie')!.split(';')[0]!
  const guessed = await fetch(`${address}/sign-in`, {
    method: 'POST',
    headers: { Origin: address, 'Content-Type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ email: 'leopoldine@ellery.example', password: 'seven herons' }),
  })
  expect(guessed.status).toBe(403)
  await until('the words are with the office', async () => {
    const detail = await fetch(`${address}/api/v1/days/${day}/precincts/${precinct}`, {
      headers: { Cookie: cookie },
    })
    const text = await detail.text()
    return text.includes(what) && text.includes(plan.contacts[0]!.phone)
  })
  expect((await fetch(`${address}/desk`, { headers: { Cookie: cookie } })).status).toBe(200)
  const metrics = await (await fetch(`${address}/metrics`)).text()
  device.close()
  expect((await server.stop()).code).toBe(0)

  const said = server.err() + server.out()
  expect(said).toMatch(/"route":"\/api\/v1\/enrol"/)
  expect(said).toMatch(/"route":"\/api\/v1\/days\/:day\/precincts\/:code"/)
  const secrets = {
    key,
    code: code!,
    'the link’s secret': secretLink.split('key=')[1]!,
    cookie: cookie.split('=')[1]!,
    'what was noted': 'green hat',
    'the device’s label': 'Ottilie',
    'who signed in': 'Wilhelmina',
    'an e-mail': 'leopoldine',
    'a password': 'seven herons',
    'the database’s password': new URL(url).password,
    'a contact’s name': plan.contacts[0]!.name,
    'a telephone number': plan.contacts[0]!.phone,
  }
  for (const [name, secret] of Object.entries(secrets)) {
    expect(secret.length, name).toBeGreaterThan(3)
    expect(said.includes(secret), `${name} in the log`).toBe(false)
    expect(metrics.includes(secret), `${name} in the figures`).toBe(false)
  }
  for (const { code: known, name } of plan.precincts)
    expect(metrics.includes(known) || metrics.includes(name), known).toBe(false)
  for (const figure of [
    `sunup_log_position{day="${day}"}`,
    'sunup_devices 1',
    'sunup_boards 0',
    'sunup_reports_refused_total 1',
    'sunup_tick_seconds_count',
    'sunup_http_seconds_bucket',
    'sunup_patched_rows_total',
    'process_resident_memory_bytes',
  ])
    expect(metrics).toContain(figure)
})
