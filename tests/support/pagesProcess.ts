import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startEmbedded } from '../../db/embedded.ts'
import { migrate } from '../../db/migrate.ts'
import { readPlanFolder } from '../../server/cli/planFiles.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { checkoutFolder } from '../../server/where.ts'
import { connectDevice, enrolDevice, runSunup, type TestDevice } from './runSunup.ts'

/**
 * The whole server with its pages, for browser tests: Ellery's plan at 9:30 of its day, three precincts that have
 * a tablet. Answers orders of the test over IPC: make a link, a code, let a tablet say something, stop.
 */
type Order =
  | { id: number; link: { id: string; name: string; role: 'desk' | 'rover' | 'supervisor' } }
  | { id: number; code: string }
  | { id: number; say: { precinct: string; kind: string; body: Record<string, unknown> } }
  | { id: number; entries: string }
  | { id: number; clock: { speed: number } }

const folder = mkdtempSync(join(tmpdir(), 'sunup-pages-'))
const database = await startEmbedded(folder)
await migrate(database.url)
const read = readPlanFolder(join(checkoutFolder(), 'seed', 'ellery'))
if ('faults' in read) throw new Error(JSON.stringify(read.faults))
const { plan } = read
const running = await runSunup({
  url: database.url,
  plan,
  pagesFolder: checkoutFolder(),
  startAt: instantOf(plan.date, '09:30', plan.timeZone),
})
const devices = new Map<string, { device: TestDevice; number: number }>()

async function deviceOf(precinct: string) {
  let known = devices.get(precinct)
  if (!known) {
    known = { device: await connectDevice(running.url, await enrolDevice(running, precinct)), number: 0 }
    devices.set(precinct, known)
  }
  return known
}

async function answer(order: Order): Promise<unknown> {
  if ('link' in order) {
    await running.sunup.access.addPerson(order.link)
    return `${running.url}/enter?key=${await running.sunup.access.makeLink(order.link, 600_000)}`
  }
  if ('code' in order) return running.sunup.access.issueCode(running.day, order.code)
  if ('say' in order) {
    const known = await deviceOf(order.say.precinct)
    return known.device.say(++known.number, order.say.kind, order.say.body)
  }
  if ('clock' in order) return running.clock.setSpeed(order.clock.speed)
  const stored = await running.sunup.log.readPrecinct(running.day, order.entries, 200)
  return stored.reverse().map(s => ({ kind: s.entry.kind, body: s.entry.body, number: s.entry.number, via: s.entry.origin.via, detail: s.detail }))
}

process.on('message', (order: Order) => {
  answer(order).then(
    value => process.send?.({ id: order.id, value: value ?? null }),
    error => process.send?.({ id: order.id, error: String(error?.stack ?? error) }),
  )
})
process.on('disconnect', () => void stop())
process.on('SIGTERM', () => void stop())

async function stop() {
  for (const { device } of devices.values()) device.close()
  await running.stop()
  await database.stop()
  rmSync(folder, { recursive: true, force: true })
  process.exit(0)
}

process.send?.({ url: running.url, day: running.day })
