import { type ChildProcess, fork } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Browser, type BrowserContextOptions, type Page, test } from '@playwright/test'
import { stopEmbedded } from '../../db/embedded.ts'
import type { ReportAnswer } from '../../server/protocol/device.ts'
import type { Order, Orders } from '../support/pagesProcess.ts'

/**
 * One office for a test file: the whole server, its pages and its database in a process that can be killed and
 * started again on the same day. It is stopped whatever happens.
 */
export type Office = {
  url: string
  day: string
  ask<K extends keyof Orders>(order: K, asked: Orders[K]['in']): Promise<Orders[K]['out']>
  /** A precinct's tablet says something, by HTTP; it is enrolled on the first word. */
  say(precinct: string, kind: string, body: Record<string, unknown>): Promise<void>
  /** SIGKILL: nothing is told to anybody, nothing is written any more. */
  kill(): Promise<void>
  /** Starts the server again on the same database, day and port. */
  restart(): Promise<void>
  stop(): Promise<void>
}

/** `through`: the day's clock goes on while the server is down, as an election's does. */
type Begin = { at: string; morning?: boolean; through?: boolean }
type Started = { url: string; day: string; port: number }
type Said = { id?: number; value?: unknown; error?: string } & Partial<Started>

const program = fileURLToPath(new URL('../support/pagesProcess.ts', import.meta.url))
const START_MS = 60_000
const STOP_MS = 15_000

/** Starts an office before the tests of a file and stops it after them. */
export function officeOfFile(begin: Begin): Office {
  const office: Partial<Office> = {}
  test.beforeAll(async () => {
    test.setTimeout(START_MS)
    Object.assign(office, await openOffice(begin))
  })
  test.afterAll(async () => {
    await office.stop?.()
  })
  return office as Office
}

async function openOffice(begin: Begin): Promise<Office> {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-pages-'))
  const tablets = new Map<string, { key: string; said: number }>()
  const waiting = new Map<number, (said: Said) => void>()
  let child: ChildProcess
  let asked = 0

  async function start(port: number): Promise<Started> {
    const args = [folder, String(port), begin.at, begin.morning ? 'morning' : 'empty']
    if (begin.through) args.push('through')
    child = fork(program, args, {
      execArgv: ['--import', 'tsx'],
      env: { ...process.env, NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1' },
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    })
    return new Promise((resolve, reject) => {
      child.once('exit', () => reject(new Error('the office ended at its start')))
      child.on('message', (said: Said) => {
        if (said.id === undefined) resolve(said as Started)
        else waiting.get(said.id)?.(said)
      })
    })
  }

  const ended = (process: ChildProcess) =>
    process.exitCode !== null || process.signalCode !== null
      ? Promise.resolve()
      : new Promise<void>(resolve => void process.once('exit', () => resolve()))

  async function stop() {
    child.kill('SIGTERM')
    const forced = setTimeout(() => child.kill('SIGKILL'), STOP_MS)
    await ended(child)
    clearTimeout(forced)
    await stopEmbedded(folder)
    rmSync(folder, { recursive: true, force: true })
  }

  let started: Started
  try {
    started = await start(0)
  } catch (error) {
    await stopEmbedded(folder)
    rmSync(folder, { recursive: true, force: true })
    throw error
  }
  const { url, day, port } = started

  function ask<K extends keyof Orders>(order: K, about: Orders[K]['in']): Promise<Orders[K]['out']> {
    const id = ++asked
    return new Promise((resolve, reject) => {
      waiting.set(id, said => {
        waiting.delete(id)
        if (said.error) reject(new Error(said.error))
        else resolve(said.value as Orders[K]['out'])
      })
      child.send({ id, order, with: about } as Order)
    })
  }

  async function post(path: string, body: unknown, key?: string): Promise<unknown> {
    const response = await fetch(`${url}${path}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', ...(key ? { Authorization: `Bearer ${key}` } : {}) },
      body: JSON.stringify(body),
    })
    return response.json()
  }

  return {
    url,
    day,
    ask,
    async say(precinct, kind, body) {
      let tablet = tablets.get(precinct)
      if (!tablet) {
        const enrolled = (await post('/api/v1/enrol', { code: await ask('code', precinct) })) as {
          key: string
        }
        tablet = { key: enrolled.key, said: 0 }
        tablets.set(precinct, tablet)
      }
      const at = new Date().toISOString()
      const report = { number: ++tablet.said, at, kind, body }
      const answer = (await post(
        '/api/v1/reports',
        { sentAt: at, reports: [report] },
        tablet.key,
      )) as ReportAnswer
      if (!answer.ok || answer.refused.length > 0) throw new Error(`not taken: ${JSON.stringify(answer)}`)
    },
    async kill() {
      child.kill('SIGKILL')
      await ended(child)
    },
    async restart() {
      await start(port)
    },
    stop,
  }
}

export const IMRE = { id: 'p-imre', name: 'Imre', role: 'desk' } as const
export const NELL = { id: 'p-nell', name: 'Nell', role: 'desk' } as const
export const ANA = { id: 'p-ana', name: 'Ana', role: 'rover' } as const

/** A browser of their own, signed in by a link and its button, at the desk with its picture. */
export async function atDesk(
  browser: Browser,
  office: Office,
  person: Orders['link']['in'] = IMRE,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width: 1366, height: 768 },
    colorScheme: 'light',
    ...options,
  })
  const page = await context.newPage()
  await page.goto(await office.ask('link', person))
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.waitForURL(url => url.pathname !== '/enter')
  // Each role begins at a page of its own.
  if (new URL(page.url()).pathname !== '/desk') await page.goto(`${office.url}/desk`)
  await page.getByRole('heading', { name: 'Ellery County' }).waitFor()
  return page
}
