import { createServer } from 'node:http'
import postgres from 'postgres'
import { WebSocketServer } from 'ws'

/**
 * The limit that `intake` is measured against: a bare `ws` server doing the same durable insert. JSON in, one
 * transaction a group (head row locked, at most 500 rows in one insert, unique source and number, commit with
 * fsync on), acknowledgement after the commit. No checks, no chain, no fold, no boards.
 */
process.on('message', (order: { url: string }) => void serve(order.url))

async function serve(url: string) {
  const sql = postgres(url, { max: 2, onnotice: () => {} })
  await sql`create table bare_head (day text primary key, position bigint not null)`
  await sql`create table bare_entry (day text, position bigint, source text, number bigint, body text, primary key (day, position), unique (day, source, number))`
  await sql`insert into bare_head values ('d', 0)`
  const queue: Array<{ source: string; number: number; text: string; ack(): void }> = []
  let running = false

  async function drain() {
    if (running) return
    running = true
    while (queue.length > 0) {
      const group = queue.splice(0, 500)
      await sql.begin(async tx => {
        const [head] = await tx`select position from bare_head where day = 'd' for update`
        const start = Number(head!.position)
        await tx`insert into bare_entry select 'd', * from unnest(${group.map((_, i) => start + i + 1)}::bigint[], ${group.map(g => g.source)}::text[], ${group.map(g => g.number)}::bigint[], ${group.map(g => g.text)}::text[])`
        await tx`update bare_head set position = ${start + group.length} where day = 'd'`
      })
      for (const g of group) g.ack()
    }
    running = false
  }

  const http = createServer()
  const wss = new WebSocketServer({ server: http, perMessageDeflate: false })
  let sockets = 0
  wss.on('connection', ws => {
    const source = `s${sockets++}`
    ws.on('message', data => {
      const message = JSON.parse(String(data))
      queue.push({
        source,
        number: message.number,
        text: JSON.stringify(message.body),
        ack: () => ws.send(JSON.stringify({ id: message.number })),
      })
      if (!running) setImmediate(() => void drain())
    })
  })
  http.listen(0, '127.0.0.1', () => process.send?.({ port: (http.address() as { port: number }).port }))
}
