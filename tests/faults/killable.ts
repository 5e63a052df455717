import { aPlan } from '../support/aPlan.ts'
import { runSunup } from '../support/runSunup.ts'

/** The server in a process that a test kills: no farewell, no flush. Says its port and keys, then serves. */
process.on('message', (order: { url: string; port: number }) => {
  void runSunup({
    url: order.url,
    plan: aPlan(),
    port: order.port,
    startAt: Date.parse('2026-11-03T15:00:00Z'),
    deviceRate: { perSecond: 5_000, burst: 50_000 },
  }).then(
    running => process.send?.({ port: running.port, day: running.day }),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})
