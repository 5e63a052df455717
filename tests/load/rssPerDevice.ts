import { ask, end, type Figure, figure, freshBenchDatabase, startProcess } from './figure.ts'
import type { Serving } from './serverProcess.ts'

const DEVICES = 5_000
/** A bare socket.io connection of this version on this kind of machine, held idle. */
const BARE_KB = 14

/** Server memory for each connected device, in KB (1,024 bytes). */
export async function rssPerDevice(url: string): Promise<Figure[]> {
  const server = startProcess('serverProcess.ts')
  const load = startProcess('loadProcess.ts')
  try {
    const serving = await ask<Serving>(
      server,
      { url: await freshBenchDatabase(url), precincts: 1_000, devices: DEVICES },
      'serving',
    )
    const before = await ask<number>(server, { memory: true }, 'rss')
    await ask(load, { what: 'hold', port: serving.port, keys: serving.keys }, 'result')
    await new Promise(resolve => setTimeout(resolve, 3_000))
    const after = await ask<number>(server, { memory: true }, 'rss')
    return [figure('rssPerDevice', (after - before) / DEVICES / 1_024, 'KB', BARE_KB)]
  } finally {
    await end(load, server)
  }
}
