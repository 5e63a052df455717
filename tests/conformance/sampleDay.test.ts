import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { planImportVip, vipWords } from '../../server/cli/vip.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { IMRE, type RunningSunup } from '../support/runSunup.ts'
import { type SimulatedDay, simulateDay } from '../support/simulatedDay.ts'
import { SAMPLE_FEED } from './samples.ts'

/** The sample feed's county on a real server over a real Postgres, its tablets played through the public link. */
const folder = mkdtempSync(join(tmpdir(), 'sunup-sample-day-'))
const planFolder = join(folder, 'plan')
let day: SimulatedDay
let plan: Plan
let running: RunningSunup

beforeAll(async () => {
  const words = vipWords(['--vip', SAMPLE_FEED, '--to', planFolder])
  if ('lines' in words) throw new Error(words.lines.join('\n'))
  const nothing = () => {}
  expect(await planImportVip(words, { out: nothing, complain: nothing }, async () => 1)).toBe(0)
  day = await simulateDay(planFolder, 3)
  ;({ plan, running } = day)
  await day.play('07:05', 600)
}, 240_000)

afterAll(async () => {
  await day?.stop()
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
