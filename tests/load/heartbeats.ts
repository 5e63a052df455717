import { ask, end, type Figure, figure, freshBenchDatabase, startProcess } from './figure.ts'
import type { LoadResult } from './loadProcess.ts'
import type { Serving } from './serverProcess.ts'

/** Every polling place of a national election day (116,990 in 2016, see README) at one every 30 seconds. */
const COUNTRY = 3_900

/** Unchanged heartbeats acknowledged per second from 1,000 sockets. */
export async function heartbeats(url: string): Promise<Figure[]> {
  const server = startProcess('serverProcess.ts')
  const load = startProcess('loadProcess.ts')
  try {
    const serving = await ask<Serving>(
      server,
      { url: await freshBenchDatabase(url), precincts: 1_000, devices: 1_000 },
      'serving',
    )
    const order = { what: 'heartbeats', port: serving.port, keys: serving.keys, window: 2, seconds: 8 }
    const result = await ask<LoadResult>(load, order, 'result')
    if (result.waits > 0) throw new Error(`${result.waits} told to wait`)
    return [figure('heartbeats', result.done / result.seconds, 'heartbeats/s', COUNTRY)]
  } finally {
    await end(load, server)
  }
}
