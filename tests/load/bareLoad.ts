import WebSocket from 'ws'

/** The same load for the bare server: sockets × window in flight, one JSON message each, acknowledged by id. */
process.on('message', (order: { port: number; sockets: number; window: number; seconds: number }) => {
  void run(order).then(result => process.send?.({ result }))
})

async function run(order: { port: number; sockets: number; window: number; seconds: number }) {
  const sockets = await Promise.all(
    Array.from(
      { length: order.sockets },
      () =>
        new Promise<WebSocket>((resolve, reject) => {
          const ws = new WebSocket(`ws://127.0.0.1:${order.port}`, { perMessageDeflate: false })
          ws.on('open', () => resolve(ws))
          ws.on('error', reject)
        }),
    ),
  )
  const from = performance.now()
  const end = from + order.seconds * 1_000
  let done = 0
  await Promise.all(
    sockets.map(
      (ws, i) =>
        new Promise<void>(resolve => {
          let number = 0
          let open = 0
          const send = () => {
            number++
            open++
            const sentAt = new Date().toISOString()
            ws.send(
              JSON.stringify({
                number,
                sentAt,
                at: sentAt,
                kind: 'CountsReported',
                body: {
                  checkedIn: number % 2_000,
                  publicCount: { [`T-${i}`]: number % 1_990 },
                  inLine: number % 23,
                  ballotsLeft: 1_500 - (number % 1_400),
                },
              }),
            )
          }
          ws.on('message', () => {
            done++
            open--
            if (performance.now() < end) send()
            else if (open === 0) resolve()
          })
          for (let w = 0; w < order.window; w++) send()
        }),
    ),
  )
  const seconds = (performance.now() - from) / 1_000
  for (const ws of sockets) ws.terminate()
  return { done, seconds }
}
