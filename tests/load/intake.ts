import { ask, end, type Figure, figure, freshBenchDatabase, startProcess } from './figure.ts'
import type { LoadResult } from './loadProcess.ts'
import type { Serving } from './serverProcess.ts'

const SOCKETS = 200
const WINDOW = 8
const SECONDS = 8

/** Acknowledged, committed facts per second with everything on, beside a bare server doing the same durable insert. */
export async function intake(url: string): Promise<Figure[]> {
  const baseline = await bare(url)
  const server = startProcess('serverProcess.ts')
  const boards = startProcess('boardProcess.ts')
  const load = startProcess('loadProcess.ts')
  try {
    const serving = await ask<Serving>(
      server,
      { url: await freshBenchDatabase(url), precincts: SOCKETS, devices: SOCKETS },
      'serving',
    )
    await ask(boards, { ...serving, boards: 5 }, 'following')
    const order = {
      what: 'reports',
      port: serving.port,
      keys: serving.keys,
      tabulators: serving.tabulators,
      window: WINDOW,
    }
    await ask<LoadResult>(load, { ...order, seconds: 2 }, 'result')
    const result = await ask<LoadResult>(load, { ...order, seconds: SECONDS }, 'result')
    if (result.refused > 0 || result.waits > 0)
      throw new Error(`${result.refused} refused, ${result.waits} told to wait`)
    return [figure('intake', result.done / result.seconds, 'facts/s', baseline)]
  } finally {
    await end(load, boards, server)
  }
}

async function bare(url: string): Promise<number> {
  const server = startProcess('bareServer.ts')
  const load = startProcess('bareLoad.ts')
  try {
    const port = await ask<number>(server, { url: await freshBenchDatabase(url, false) }, 'port')
    await ask(load, { port, sockets: SOCKETS, window: WINDOW, seconds: 2 }, 'result')
    const again = startProcess('bareLoad.ts')
    const result = await ask<{ done: number; seconds: number }>(
      again,
      { port, sockets: SOCKETS, window: WINDOW, seconds: SECONDS },
      'result',
    )
    await end(again)
    return result.done / result.seconds
  } finally {
    await end(load, server)
  }
}
