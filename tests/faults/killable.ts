import { aPlan } from '../support/aPlan.ts'
import { type RunningSunup, runSunup } from '../support/runSunup.ts'

/**
 * The server in a process that a test kills: no farewell, no flush. Says its port and day, then serves. Asked for a
 * `copy` it makes the backup that would be due.
 */
type Order = { url: string; port: number; backups?: { folder: string; everyMs: number } } | { copy: true }

let running: Promise<RunningSunup> | null = null

process.on('message', (order: Order) => {
  const answer = 'copy' in order ? copy() : start(order)
  answer.catch(error => process.send?.({ error: String(error?.stack ?? error) }))
})

// Whoever started this is gone.
process.on('disconnect', () => process.exit(1))

async function start({ url, port, backups }: Extract<Order, { url: string }>): Promise<void> {
  running = runSunup({
    url,
    plan: aPlan(),
    port,
    startAt: Date.parse('2026-11-03T15:00:00Z'),
    deviceRate: { perSecond: 5_000, burst: 50_000 },
    ...(backups ? { backups } : {}),
  })
  const { port: listening, day } = await running
  process.send?.({ port: listening, day })
}

async function copy(): Promise<void> {
  const { sunup } = (await running)!
  await sunup.backups.run()
  process.send?.({ copied: sunup.backups.state() })
}
