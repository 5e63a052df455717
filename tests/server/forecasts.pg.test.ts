import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { build } from 'esbuild'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ForecastBase } from '../../server/domain/day/state.ts'
import { dayForecasts } from '../../server/domain/forecast/day.ts'
import { gatherDay, gatherPrecinct } from '../../server/domain/forecast/gather.ts'
import { onBoard } from '../../server/domain/forecast/onBoard.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { MINUTE } from '../../server/domain/time.ts'
import { threadForecaster } from '../../server/live/forecasting/thread.ts'
import type { ForecastInputs, Patch } from '../../server/protocol/board.ts'
import { checkoutFolder } from '../../server/where.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  until,
} from '../support/runSunup.ts'

/** A real server whose day stands at 9:00; it moves only where a test moves it. */
let running: RunningSunup
let token: string
const plan = aPlan()
const local = (time: string) => instantOf(plan.date, time, plan.timeZone)

beforeAll(async () => {
  running = await runSunup({ url: await freshDatabase(), plan, startAt: local('09:00') })
  token = await running.sunup.access.makeToken({ id: 'p-desk', name: 'Ana', role: 'desk' })
  await until('the first forecasts', () => running.live.forecasts() !== null)
})
afterAll(() => running.stop())

async function ask(path: string) {
  const answer = await fetch(`${running.url}/api/v1/days/${running.day}${path}`, {
    headers: { Authorization: `Bearer ${token}` },
  })
  return { status: answer.status, json: await answer.json() }
}

/** Made anew from the state that the forecasts were marked at, by the function alone. */
function anew(base: ForecastBase) {
  const { index } = running.live
  const inputs = [...base.precincts.values()].map(p =>
    gatherPrecinct(p, index.precincts.get(p.code)!, index, base.at),
  )
  return dayForecasts(gatherDay(index, base.at), base.position, inputs)
}

const marks = async () =>
  (await running.sunup.log.read(running.day, 0, 1_000)).filter(s => s.entry.kind === 'ForecastMade')

describe('the forecasts of a running day', () => {
  it('P4: are what the function makes of the log up to the entry that marks them', () => {
    const { made, base } = running.live.forecasts()!
    expect(made).toEqual(anew(base))
  })

  it('are marked once a minute of the day where nothing is said', async () => {
    const before = await marks()
    const from = running.live.now()
    running.clock.setSpeed(120)
    await until('four minutes of the day', () => running.live.now() >= from + 4 * MINUTE, 20_000)
    running.clock.setSpeed(1)
    const passed = (running.live.now() - from) / MINUTE
    const since = (await marks()).length - before.length
    expect(since).toBeGreaterThanOrEqual(2)
    expect(since).toBeLessThanOrEqual(Math.ceil(passed) + 1)
  })

  it('are marked again where something material is said', async () => {
    const board = await connectBoard(running)
    const before = (await board.snapshot()).forecasts!
    const patches: Patch[] = []
    board.socket.on('patch', (patch: Patch) => patches.push(patch))
    const first = (await marks()).length
    const device = await connectDevice(running.url, await enrolDevice(running, 'E-01'))
    running.clock.setSpeed(600)
    await device.say(1, 'PollsOpened', {})
    await device.say(2, 'LineReported', { inLine: 40, stationsWorking: 1 })
    await until('forecasts of the line', () =>
      patches.some(p => p.forecasts?.precincts.some(f => (f.line?.said?.is ?? 0) === 40)),
    )
    running.clock.setSpeed(1)
    const sent = patches.findLast(p => p.forecasts)!.forecasts!
    expect(sent.position).toBeGreaterThan(before.position)
    expect((await marks()).length).toBeGreaterThan(first)
    const made = await marks()
    for (let i = 1; i < made.length; i++)
      expect(made[i]!.entry.occurredAt - made[i - 1]!.entry.occurredAt).toBeGreaterThanOrEqual(MINUTE / 4)
    device.close()
    board.close()
  })

  it('P12: are made by the replay from the log as the live board had them', async () => {
    await until(
      'nothing is under way',
      () => running.live.forecasts()!.base === running.live.state().forecastBase,
    )
    const { made, base } = running.live.forecasts()!
    const again = await ask(`/forecasts?position=${base.position}`)
    expect(again.status).toBe(200)
    const rounded = [...made.precincts.values()].map(onBoard)
    expect(again.json).toMatchObject({ at: base.at, position: base.position })
    expect((again.json as { precincts: unknown }).precincts).toEqual(JSON.parse(JSON.stringify(rounded)))
  })

  it('P12: stand again as they stood at an earlier entry', async () => {
    const [first] = await marks()
    const then = await ask(`/forecasts?position=${first!.entry.position}`)
    expect(then.json).toMatchObject({ position: first!.entry.position, at: first!.entry.occurredAt })
    const lines = (then.json as { precincts: Array<{ line: { said: unknown } | null }> }).precincts
    expect(lines.every(p => !p.line?.said)).toBe(true)
    const before = await ask(`/forecasts?position=${first!.entry.position - 1}`)
    expect(before).toMatchObject({
      status: 404,
      json: { problems: [{ message: /No forecast is made yet/ }] },
    })
  })

  it('give a precinct’s page what its own are made from', async () => {
    const { status, json } = await ask('/precincts/E-01/forecast')
    expect(status).toBe(200)
    const inputs = json as ForecastInputs
    expect(inputs.input).toMatchObject({ code: 'E-01', stations: { working: 1 } })
    expect(inputs.input.lines.at(-1)?.is).toBe(40)
    expect((await ask('/precincts/NOWHERE/forecast')).status).toBe(404)
    expect(await ask('/forecasts?position=soon')).toMatchObject({
      status: 400,
      json: { problems: [{ path: 'position' }] },
    })
    expect((await ask('/forecasts?position=99999')).status).toBe(400)
    expect((await ask('/forecasts?position=1&position=2')).status).toBe(400)
    expect((await ask('/forecasts?at=2026-11-03T14:00:00Z')).status).toBe(400)
  })
})

describe('the forecasts’ thread', () => {
  const dist = join(checkoutFolder(), 'dist')
  let folder: string
  let file: string

  beforeAll(async () => {
    mkdirSync(dist, { recursive: true })
    folder = mkdtempSync(join(dist, `tests-${process.pid}-`))
    file = join(folder, 'forecasts.js')
    await build({
      absWorkingDir: checkoutFolder(),
      entryPoints: ['server/live/forecasting/threadWork.ts'],
      outfile: file,
      bundle: true,
      packages: 'external',
      platform: 'node',
      format: 'esm',
      logLevel: 'silent',
    })
  })
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  it('makes what this thread makes', async () => {
    const forecaster = threadForecaster(file)
    const { base } = running.live.forecasts()!
    expect(await forecaster.make(base, running.live.index)).toEqual(anew(base))
    await forecaster.close()
  })

  it('tells where it ended, and is there again for the next that is asked', async () => {
    const gone = threadForecaster(join(folder, 'not-there.js'))
    expect(existsSync(join(folder, 'not-there.js'))).toBe(false)
    const { base } = running.live.forecasts()!
    await expect(gone.make(base, running.live.index)).rejects.toThrow(/not-there/)
    await expect(gone.make(base, running.live.index)).rejects.toThrow(/not-there/)
    await gone.close()
    const forecaster = threadForecaster(file)
    const asked = forecaster.make(base, running.live.index)
    await forecaster.close()
    await expect(asked).rejects.toThrow(/thread ended/)
    expect(await forecaster.make(base, running.live.index)).toEqual(anew(base))
    await forecaster.close()
  })
})
