import type { Arrival } from './boardProcess.ts'
import { ask, end, type Figure, figure, freshBenchDatabase, percentile, startProcess } from './figure.ts'
import type { Serving } from './serverProcess.ts'

const PRECINCTS = 1_000
const BOARDS = 20
const PER_SECOND = 2_000
const SECONDS = 10

type Sent = { at: number; code: string; checkedIn: number }

/**
 * Milliseconds from a fact's sending to the patch that shows it (or a later count of the same precinct) in each
 * board. A count that another overtook within one patch counts with the patch that overtook it.
 */
export async function boardLatency(url: string): Promise<Figure[]> {
  const server = startProcess('serverProcess.ts')
  const boards = startProcess('boardProcess.ts')
  const load = startProcess('latencyLoad.ts')
  try {
    const serving = await ask<Serving>(
      server,
      { url: await freshBenchDatabase(url), precincts: PRECINCTS, devices: PRECINCTS },
      'serving',
    )
    await ask(boards, { ...serving, boards: BOARDS }, 'following')
    const sent = await ask<Sent[]>(load, { ...serving, perSecond: PER_SECOND, seconds: SECONDS }, 'sent')
    await new Promise(resolve => setTimeout(resolve, 1_500))
    const { arrivals } = await ask<{ arrivals: Arrival[] }>(boards, { collect: true }, 'collected')
    const waits = latencies(sent, arrivals)
    if (waits.length < sent.length * BOARDS * 0.9)
      throw new Error(`only ${waits.length} of ${sent.length * BOARDS} facts reached a board`)
    waits.sort((a, b) => a - b)
    return [
      figure('boardLatency.p50', percentile(waits, 0.5), 'ms', 200),
      figure('boardLatency.p99', percentile(waits, 0.99), 'ms', 500),
      figure('boardLatency.rate', sent.length / SECONDS, 'facts/s', PER_SECOND),
    ]
  } finally {
    await end(load, boards, server)
  }
}

/**
 * Counts of one precinct rise by one each, so the first arrival of n or more on a board is when that board showed
 * n. Arrivals of one board and precinct come in order of time and count.
 */
export function latencies(sent: readonly Sent[], arrivals: readonly Arrival[]): number[] {
  const shown = new Map<string, Arrival[]>()
  for (const a of arrivals) {
    const key = `${a.board} ${a.code}`
    const list = shown.get(key)
    if (list) list.push(a)
    else shown.set(key, [a])
  }
  const next = new Map<string, number>()
  const waits: number[] = []
  for (const s of sent)
    for (let board = 0; board < BOARDS; board++) {
      const key = `${board} ${s.code}`
      const list = shown.get(key) ?? []
      let i = next.get(key) ?? 0
      while (i < list.length && list[i]!.checkedIn < s.checkedIn) i++
      next.set(key, i)
      if (i < list.length) waits.push(list[i]!.at - s.at)
    }
  return waits
}
