import { aPlan } from '../support/aPlan.ts'
import { runSunup } from '../support/runSunup.ts'

/** The server in a process that a test kills, on a quick day. Says when it serves, then serves. */
process.on('message', (order: { url: string; port: number; startAt: number; speed: number }) => {
  void runSunup({ ...order, plan: aPlan() }).then(
    running => process.send?.({ port: running.port, day: running.day }),
    error => process.send?.({ error: String(error?.stack ?? error) }),
  )
})

// Whoever started this is gone.
process.on('disconnect', () => process.exit(1))
