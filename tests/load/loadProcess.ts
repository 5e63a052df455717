import type { HeartbeatAnswer, ReportAnswer } from '../../server/protocol/device.ts'
import { connectRaw, type RawSocket } from './rawSocket.ts'

/**
 * The load of a bench run, in a process of its own so that it shares cores, not an event loop, with the server.
 * Told by one message what to do; answers with what it counted.
 */
export type LoadOrder =
  | {
      what: 'reports'
      port: number
      keys: string[]
      window: number
      seconds: number
      perSecond?: number
      tabulators: string[]
    }
  | { what: 'heartbeats'; port: number; keys: string[]; seconds: number; window: number }
  | { what: 'hold'; port: number; keys: string[] }

export type LoadResult = { done: number; refused: number; waits: number; seconds: number }

process.on('message', (order: LoadOrder) => {
  void run(order).then(
    result => process.send?.({ result }),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})

async function run(order: LoadOrder): Promise<LoadResult> {
  const sockets: RawSocket[] = []
  for (let i = 0; i < order.keys.length; i += 50)
    sockets.push(
      ...(await Promise.all(
        order.keys.slice(i, i + 50).map(key => connectRaw(order.port, '/precinct', { key })),
      )),
    )
  if (order.what === 'hold') return { done: sockets.length, refused: 0, waits: 0, seconds: 0 }
  process.send?.({ ready: true })
  const result = order.what === 'reports' ? await reports(sockets, order) : await heartbeats(sockets, order)
  for (const socket of sockets) socket.close()
  return result
}

async function reports(
  sockets: RawSocket[],
  order: Extract<LoadOrder, { what: 'reports' }>,
): Promise<LoadResult> {
  const upTo = await Promise.all(
    sockets.map(s => s.emit<ReportAnswer>('report', { sentAt: new Date().toISOString(), reports: [] })),
  )
  // Polls open first: the rules then judge an ordinary day.
  const openedAt = new Date().toISOString()
  await Promise.all(
    sockets.map(async (socket, i) => {
      if (upTo[i]!.upTo > 0) return
      upTo[i] = await socket.emit<ReportAnswer>('report', {
        sentAt: openedAt,
        reports: [{ number: 1, at: openedAt, kind: 'PollsOpened', body: {} }],
      })
    }),
  )
  const from = performance.now()
  const end = from + order.seconds * 1_000
  const gapMs = order.perSecond ? (1_000 * sockets.length * order.window) / order.perSecond : 0
  let done = 0
  let refused = 0
  let waits = 0
  await Promise.all(
    sockets.flatMap((socket, i) => {
      let number = upTo[i]!.upTo
      const tabulator = order.tabulators[i % order.tabulators.length]!
      return Array.from({ length: order.window }, async (_, lane) => {
        if (gapMs) await sleep(gapMs * ((i * order.window + lane) / (sockets.length * order.window)))
        let due = performance.now()
        while (performance.now() < end) {
          const mine = ++number
          const sentAt = new Date().toISOString()
          const answer = await socket.emit<ReportAnswer>('report', {
            sentAt,
            reports: [{ number: mine, at: sentAt, kind: 'CountsReported', body: bodyOf(mine, tabulator) }],
          })
          if (!answer.ok) waits++
          else if (answer.refused.length > 0) refused++
          else done++
          if (gapMs) {
            due += gapMs
            await sleep(Math.max(0, due - performance.now()))
          }
        }
      })
    }),
  )
  return { done, refused, waits, seconds: (performance.now() - from) / 1_000 }
}

function bodyOf(n: number, tabulator: string) {
  return {
    checkedIn: n % 2_000,
    publicCount: { [tabulator]: n % 1_990 },
    inLine: n % 23,
    ballotsLeft: 1_500 - (n % 1_400),
  }
}

async function heartbeats(
  sockets: RawSocket[],
  order: Extract<LoadOrder, { what: 'heartbeats' }>,
): Promise<LoadResult> {
  const asOf = new Date().toISOString()
  const said = {
    status: { polls: { is: 'open', asOf }, slot: { is: 'locked', asOf }, equipmentDown: { is: [], asOf } },
    counts: { checkedIn: { is: 341, asOf }, inLine: { is: 6, asOf }, ballotsLeft: { is: 900, asOf } },
    device: { battery: 80, charging: true, waiting: 0 },
  }
  await Promise.all(sockets.map(s => s.emit('heartbeat', { sentAt: asOf, ...said })))
  const from = performance.now()
  const end = from + order.seconds * 1_000
  let done = 0
  let waits = 0
  await Promise.all(
    sockets.flatMap(socket =>
      Array.from({ length: order.window }, async () => {
        while (performance.now() < end) {
          const answer = await socket.emit<HeartbeatAnswer>('heartbeat', {
            sentAt: new Date().toISOString(),
            ...said,
          })
          if (answer.ok) done++
          else waits++
        }
      }),
    ),
  )
  return { done, refused: 0, waits, seconds: (performance.now() - from) / 1_000 }
}

function sleep(ms: number): Promise<void> {
  return new Promise(resolve => setTimeout(resolve, ms))
}
