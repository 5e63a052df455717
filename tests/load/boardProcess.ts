import type { SubscribeAnswer } from '../../server/protocol/board.ts'
import { connectRaw } from './rawSocket.ts'

export type Arrival = { board: number; at: number; code: string; checkedIn: number }

/** Boards that follow a day in a process of their own; for latency they note when each count reached them. */
export type BoardOrder = { port: number; token: string; day: string; boards: number }

const COUNT = '"checkedIn":{"is":'

let arrivals: Arrival[] = []
let patches = 0

process.on('message', (order: BoardOrder | { collect: true }) => {
  if ('collect' in order) {
    process.send?.({ collected: { arrivals, patches } })
    arrivals = []
    patches = 0
    return
  }
  void follow(order).catch(error => process.send?.({ error: String(error?.stack ?? error) }))
})

async function follow(order: BoardOrder) {
  for (let i = 0; i < order.boards; i++) {
    const socket = await connectRaw(order.port, '/board', { token: order.token })
    const last = new Map<string, number>()
    // Twenty boards in one process would spend more on reading patches than twenty browsers do: each row's count is
    // picked out of the text.
    socket.onText(text => {
      patches++
      const at = performance.timeOrigin + performance.now()
      for (const row of text.split('{"code":"').slice(1)) {
        const code = row.slice(0, row.indexOf('"'))
        const found = row.indexOf(COUNT)
        const is =
          found < 0 ? -1 : Number.parseInt(row.slice(found + COUNT.length, found + COUNT.length + 9), 10)
        if (last.get(code) === is) continue
        last.set(code, is)
        arrivals.push({ board: i, at, code, checkedIn: is })
      }
    })
    const answer = await socket.emit<SubscribeAnswer>('subscribe', { day: order.day })
    if (!answer.ok) throw new Error(JSON.stringify(answer))
  }
  process.send?.({ following: order.boards })
}
