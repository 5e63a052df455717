import { connect } from '../../db/connect.ts'
import { aPlan } from '../support/aPlan.ts'
import { enrolDevice, runSunup } from '../support/runSunup.ts'

/** The server in a process of its own that is sent nonsense; it says its state and its memory when asked. */
export type Attacked = { port: number; key: string; token: string; day: string }
export type Told = { state: string; rss: number }

let running: Awaited<ReturnType<typeof runSunup>>
let database = ''

process.on('message', (order: { url: string } | { tell: true }) => {
  const answer = 'url' in order ? serve(order.url) : tell()
  answer.then(
    said => process.send?.(said),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})

// Whoever started this is gone.
process.on('disconnect', () => process.exit(1))

async function serve(url: string): Promise<Attacked> {
  database = url
  // Before anybody is due, so that nothing is judged while the test goes on: whatever is written, nonsense wrote.
  running = await runSunup({
    url,
    plan: aPlan({ kind: 'practice' }),
    deviceRate: { perSecond: 1_000_000, burst: 1_000_000 },
    enrolRate: { perAddressPerMinute: 1_000_000, inAllPerMinute: 1_000_000 },
  })
  const person = { id: 'p-desk', name: 'Imre', role: 'supervisor' } as const
  await running.sunup.access.addPerson(person)
  const key = await enrolDevice(running, 'E-01')
  return { port: running.port, key, token: await running.sunup.access.makeToken(person), day: running.day }
}

/** Every table as one text, and what this process holds after its garbage is collected. */
async function tell(): Promise<Told> {
  const sql = connect(database, { max: 1, as: 'owner' })
  const tables = await sql<{ name: string }[]>`
    select table_name as name from information_schema.tables where table_schema = 'public' order by 1`
  const parts: string[] = []
  for (const { name } of tables) {
    const [row] = await sql.unsafe<{ is: string | null }[]>(
      `select md5(string_agg(t::text, '|' order by t::text)) as is from "${name}" t`,
    )
    parts.push(`${name} ${row?.is ?? 'empty'}`)
  }
  await sql.end()
  globalThis.gc?.()
  globalThis.gc?.()
  return { state: parts.join('\n'), rss: process.memoryUsage().rss }
}
