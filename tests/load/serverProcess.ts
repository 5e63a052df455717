import { aWidePlan } from '../support/aPlan.ts'
import { IMRE, runSunup } from '../support/runSunup.ts'

/** The server under load in a process of its own: everything on but the pages. */
export type ServerOrder = { url: string; precincts: number; devices: number; copiesTo?: string }

type Order = ServerOrder | { memory: true } | { position: true } | { copying: boolean } | { exit: true }

process.on('message', (order: Order) => {
  if ('exit' in order) process.exit(0)
  if ('memory' in order) {
    globalThis.gc?.()
    globalThis.gc?.()
    process.send?.({ rss: process.memoryUsage().rss })
    return
  }
  if ('position' in order) {
    process.send?.({ position: current?.live.cursor() ?? 0 })
    return
  }
  if ('copying' in order) {
    void (order.copying ? startCopying() : stopCopying())
    return
  }
  void serve(order).catch(error => process.send?.({ error: String(error?.stack ?? error) }))
})

let current: Awaited<ReturnType<typeof runSunup>> | null = null

/** One automatic backup after another, and how many are finished. */
let copying = false
let copies = 0
let copier: Promise<void> = Promise.resolve()

function startCopying() {
  copying = true
  copier = (async () => {
    while (copying) {
      await current!.sunup.backups.run()
      const { problem } = current!.sunup.backups.state()
      if (problem) throw new Error(problem.message)
      copies++
      // Their names differ by the second.
      await new Promise(resolve => setTimeout(resolve, 1_000))
    }
  })()
  copier.catch(error => process.send?.({ error: String(error) }))
  process.send?.({ copying: true })
}

async function stopCopying() {
  copying = false
  await copier
  process.send?.({ copies })
}

async function serve({ url, precincts, devices, copiesTo }: ServerOrder) {
  const plan = aWidePlan(precincts, { kind: 'election' })
  // A limit far above the load: what is measured is the intake, not the brake.
  current = await runSunup({
    url,
    plan,
    deviceRate: { perSecond: 10_000, burst: 1_000_000 },
    enrolRate: { perAddressPerMinute: 100_000, inAllPerMinute: 100_000 },
    startAt: opened(plan),
    ...(copiesTo ? { backups: { folder: copiesTo, everyMs: 3_600_000 } } : {}),
  })
  const keys: string[] = []
  const tabulators: string[] = []
  for (let i = 0; i < devices; i++) {
    const { code } = plan.precincts[i % precincts]!
    const enrolled = await current.sunup.access.enrol(
      await current.sunup.access.issueCode(current.day, code),
      'load',
      '127.0.0.1',
    )
    if (!enrolled.ok) throw new Error(enrolled.message)
    keys.push(enrolled.key)
    tabulators.push(plan.equipment.find(e => e.precinct === code && e.kind === 'tabulator')!.tag)
  }
  await current.sunup.access.addPerson(IMRE)
  const token = await current.sunup.access.makeToken(IMRE)
  process.send?.({ serving: { port: current.port, keys, tabulators, token, day: current.day } })
}

/** Mid-morning of the plan's day, so that the rules have something to judge. */
function opened(plan: ReturnType<typeof aWidePlan>): number {
  return Date.parse(`${plan.date}T14:00:00Z`)
}

export type Serving = { port: number; keys: string[]; tabulators: string[]; token: string; day: string }
