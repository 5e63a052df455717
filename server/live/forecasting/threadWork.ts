import { parentPort } from 'node:worker_threads'
import { countyOfDay, eachForecast } from '../../domain/forecast/day.ts'
import type { PrecinctForecast } from '../../domain/forecast/forecast.ts'
import type { DayInput, PrecinctInput } from '../../domain/forecast/input.ts'
import { CHUNK } from './forecaster.ts'
import type { Said, Told } from './messages.ts'

/** The program of the forecasts' thread: gathers what it is told of a run, reckons, answers in chunks. */
const port = parentPort
if (!port) throw new Error('this runs as a thread of the server')

type Run = { day: DayInput; precincts: PrecinctInput[] }
const runs = new Map<number, Run>()

port.on('message', (told: Told) => {
  if ('day' in told) runs.set(told.run, { day: told.day, precincts: [] })
  else if ('precincts' in told) runs.get(told.run)?.precincts.push(...told.precincts)
  else {
    const run = runs.get(told.run)
    runs.delete(told.run)
    if (run) tried(told.run, run)
  }
})

/** A run that fails is told to whoever asked for it: it must not end the runs of other days. */
function tried(id: number, run: Run) {
  try {
    answer(id, run)
  } catch (error) {
    const said: Said = {
      run: id,
      failed: error instanceof Error ? (error.stack ?? error.message) : String(error),
    }
    port!.postMessage(said)
  }
}

/** Each chunk is sent as soon as it is made: all of them at the end would hold the server while it unpacks them. */
function answer(id: number, { day, precincts }: Run) {
  const say = (said: Said) => port!.postMessage(said)
  const county = countyOfDay(day, precincts)
  say({ run: id, county })
  let chunk: PrecinctForecast[] = []
  for (const forecast of eachForecast(day, county, precincts)) {
    chunk.push(forecast)
    if (chunk.length < CHUNK) continue
    say({ run: id, precincts: chunk })
    chunk = []
  }
  say({ run: id, precincts: chunk })
  say({ run: id, ready: true })
}
