import { parentPort } from 'node:worker_threads'
import { dayForecasts } from '../../domain/forecast/day.ts'
import type { DayInput, PrecinctInput } from '../../domain/forecast/input.ts'
import { CHUNK, type Said, type Told } from './forecaster.ts'

/** The program of the forecasts' thread: gathers what it is told of a run, reckons, answers in chunks. */
const port = parentPort
if (!port) throw new Error('this runs as a thread of the server')

type Run = { day: DayInput; position: number; precincts: PrecinctInput[] }
const runs = new Map<number, Run>()

port.on('message', (told: Told) => {
  if ('day' in told) runs.set(told.run, { day: told.day, position: told.position, precincts: [] })
  else if ('precincts' in told) runs.get(told.run)?.precincts.push(...told.precincts)
  else {
    const run = runs.get(told.run)
    runs.delete(told.run)
    if (run) answer(told.run, run)
  }
})

function answer(id: number, { day, position, precincts }: Run) {
  const say = (said: Said) => port!.postMessage(said)
  const made = dayForecasts(day, position, precincts)
  say({ run: id, county: made.county })
  const all = [...made.precincts]
  for (let from = 0; from < all.length; from += CHUNK)
    say({ run: id, precincts: all.slice(from, from + CHUNK) })
  say({ run: id, ready: true })
}
