import { connectRaw } from './rawSocket.ts'

/** Facts at a steady rate over all precincts, in turn, each with a count one higher than the precinct's last. */
type Order = { port: number; keys: string[]; tabulators: string[]; perSecond: number; seconds: number }

process.on('message', (order: Order) => {
  void run(order).then(
    sent => process.send?.({ sent }),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})

async function run(order: Order) {
  const sockets = []
  for (let i = 0; i < order.keys.length; i += 50)
    sockets.push(
      ...(await Promise.all(
        order.keys.slice(i, i + 50).map(key => connectRaw(order.port, '/precinct', { key })),
      )),
    )
  const sent: Array<{ at: number; code: string; checkedIn: number }> = []
  const answers: Array<Promise<unknown>> = []
  // The day is an ordinary one: polls are open everywhere before the clock runs, so the call list is short.
  const openedAt = new Date().toISOString()
  await Promise.all(
    sockets.map(s =>
      s.emit('report', {
        sentAt: openedAt,
        reports: [{ number: 1, at: openedAt, kind: 'PollsOpened', body: {} }],
      }),
    ),
  )
  await new Promise(resolve => setTimeout(resolve, 5_000))
  const numbers = sockets.map(() => 1)
  const from = performance.now()
  let made = 0
  while (performance.now() - from < order.seconds * 1_000) {
    const due = Math.floor(((performance.now() - from) / 1_000) * order.perSecond)
    while (made < due) {
      const i = made++ % sockets.length
      const number = ++numbers[i]!
      const at = performance.timeOrigin + performance.now()
      const sentAt = new Date().toISOString()
      sent.push({ at, code: codeOf(order.tabulators[i]!), checkedIn: number })
      answers.push(
        sockets[i]!.emit('report', {
          sentAt,
          reports: [
            {
              number,
              at: sentAt,
              kind: 'CountsReported',
              body: { checkedIn: number, publicCount: { [order.tabulators[i]!]: number } },
            },
          ],
        }),
      )
    }
    await new Promise(resolve => setTimeout(resolve, 5))
  }
  for (const answer of await Promise.all(answers))
    if (!(answer as { ok: boolean }).ok) throw new Error(`not taken: ${JSON.stringify(answer)}`)
  return sent
}

/** The wide plan names tabulator TW-001 for precinct W-001. */
function codeOf(tabulator: string): string {
  return `W-${tabulator.slice(3)}`
}
