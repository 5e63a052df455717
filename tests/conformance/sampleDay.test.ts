import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { planImportVip, vipWords } from '../../server/cli/vip.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { playQuickly } from '../../server/live/quickly.ts'
import { checkoutFolder } from '../../server/where.ts'
import { freshDatabase } from '../support/database.ts'
import { IMRE, type RunningSunup, runSunup, until } from '../support/runSunup.ts'
import { SAMPLE_FEED } from './samples.ts'

/** The sample feed's county on a real server over a real Postgres, its tablets played through the public link. */
const folder = mkdtempSync(join(tmpdir(), 'sunup-sample-day-'))
const planFolder = join(folder, 'plan')
let plan: Plan
let running: RunningSunup
let simulator: ChildProcess

beforeAll(async () => {
  const words = vipWords(['--vip', SAMPLE_FEED, '--to', planFolder])
  if ('lines' in words) throw new Error(words.lines.join('\n'))
  const nothing = () => {}
  expect(await planImportVip(words, { out: nothing, complain: nothing }, async () => 1)).toBe(0)
  const read = readPlanFolder(planFolder)
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  plan = read.plan
  running = await runSunup({
    url: await freshDatabase(),
    plan,
    speed: 0.001,
    deviceRate: { perSecond: 500, burst: 20_000 },
  })
  const codes: Record<string, { code: string }> = {}
  for (const { code } of plan.precincts)
    codes[code] = { code: await running.sunup.access.issueCode(running.day, code) }
  const state = join(folder, 'simulator.json')
  writeFileSync(state, JSON.stringify(codes))
  const words2 = ['--url', running.url, '--plan', planFolder, '--state', state, '--seed', '3', '--stdin']
  simulator = spawn(process.execPath, ['--import', 'tsx', 'seed/simulator/run.ts', ...words2], {
    cwd: checkoutFolder(),
    stdio: ['pipe', 'pipe', 'inherit'],
  })
  let settled = 0
  createInterface({ input: simulator.stdout! }).on('line', line => {
    const said = JSON.parse(line)
    if (said.settled) settled = said.settled
  })
  await until('the tablets are linked', () => settled > 0, 60_000)
  await playQuickly({
    clock: running.clock,
    until: instantOf(plan.date, '07:05', plan.timeZone),
    speed: 600,
    doneBy: () => Math.min(settled, running.live.judgedAt()),
    ended: () => simulator.exitCode !== null,
  })
}, 240_000)

afterAll(async () => {
  simulator?.kill('SIGKILL')
  await running?.stop()
  rmSync(folder, { recursive: true, force: true })
})

it('the sample feed’s county is on the board an hour after opening: every precinct open, with counts', async () => {
  await running.sunup.access.addPerson(IMRE)
  const token = await running.sunup.access.makeToken(IMRE)
  const answer = await fetch(`${running.url}/api/v1/days/${running.day}/board`, {
    headers: { Authorization: `Bearer ${token}` },
  })
  expect(answer.status).toBe(200)
  const board = (await answer.json()) as {
    precincts: Array<{
      code: string
      name: string
      standing: string
      checkedIn?: { is: number } | number | null
    }>
  }
  expect(board.precincts.map(p => p.name).sort()).toEqual(plan.precincts.map(p => p.name).sort())
  expect(board.precincts.map(p => p.standing)).toEqual(board.precincts.map(() => 'open'))
  const entries = (await running.sunup.log.read(running.day, 0, 5_000)).map(s => s.entry)
  const counted = new Set(entries.filter(e => e.kind === 'CountsReported').map(e => e.precinct))
  expect(counted.size).toBe(25)
  expect(await running.sunup.log.verify(running.day)).toMatchObject({ ok: true })
})
