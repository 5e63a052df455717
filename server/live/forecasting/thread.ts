import { Worker } from 'node:worker_threads'
import type { CountyForecast, Forecasts, PrecinctForecast } from '../../domain/forecast/forecast.ts'
import { gatherDay } from '../../domain/forecast/gather.ts'
import { type Forecaster, gathered } from './forecaster.ts'
import type { Said, Told } from './messages.ts'

/** Forty times what a large county's take. */
const LONGEST_MS = 60_000

/**
 * Forecasts in a thread of their own, so that reports and patches never wait for them. One thread serves all days of
 * a process and lives until it is closed; if it ends by itself, what was asked of it fails and the next asking
 * begins another.
 *
 * @param file the thread's program (threadWork.ts, built)
 */
export function threadForecaster(file: string): Forecaster {
  let thread: Thread | null = null
  let run = 0

  function begin(): Thread {
    if (thread) return thread
    const made: Thread = { worker: new Worker(file), waiting: new Map() }
    thread = made
    made.worker.unref()
    made.worker.on('message', (said: Said) => hear(said, made.waiting))
    const ended = (error: unknown) => {
      if (thread === made) thread = null
      for (const { reject } of made.waiting.values()) reject(error)
      made.waiting.clear()
    }
    made.worker.on('error', ended)
    made.worker.on('exit', code => ended(new Error(`the forecasts’ thread ended with ${code}`)))
    return made
  }

  return {
    async make(base, index) {
      const { worker, waiting } = begin()
      const id = ++run
      const tell = (told: Told) => worker.postMessage(told)
      const precincts = new Map<string, PrecinctForecast>()
      // A thread that hangs would hold up every forecast after it.
      const longest = setTimeout(() => void worker.terminate(), LONGEST_MS)
      const asked = await new Promise<Waiting>((resolve, reject) => {
        const one: Waiting = { county: null, precincts, resolve: () => resolve(one), reject }
        waiting.set(id, one)
        const send = async () => {
          tell({ run: id, day: gatherDay(index, base.at) })
          for await (const chunk of gathered(base, index)) tell({ run: id, precincts: chunk })
          tell({ run: id, ready: true })
        }
        send().catch(error => {
          waiting.delete(id)
          reject(error)
        })
      }).finally(() => clearTimeout(longest))
      return { at: base.at, position: base.position, county: asked.county!, precincts } satisfies Forecasts
    },
    async close() {
      await thread?.worker.terminate()
    },
  }
}

/** What was asked of a thread belongs to it: a thread that ends fails its own, never the next one’s. */
type Thread = { worker: Worker; waiting: Map<number, Waiting> }

type Waiting = {
  county: CountyForecast | null
  precincts: Map<string, PrecinctForecast>
  resolve(): void
  reject(error: unknown): void
}

function hear(said: Said, waiting: Map<number, Waiting>) {
  const asked = waiting.get(said.run)
  if (!asked) return
  if ('county' in said) asked.county = said.county
  else if ('precincts' in said) for (const made of said.precincts) asked.precincts.set(made.code, made)
  else {
    waiting.delete(said.run)
    if ('failed' in said) asked.reject(new Error(`forecasts could not be made: ${said.failed}`))
    else asked.resolve()
  }
}
