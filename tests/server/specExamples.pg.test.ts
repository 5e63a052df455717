import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { planHash, readPlanFolder } from '../../server/cli/planFiles.ts'
import { instantOf } from '../../server/domain/plan/zone.ts'
import { keepDay } from '../../server/openDay.ts'
import { patch, snapshot } from '../../server/protocol/answers.ts'
import type { Operation } from '../../server/protocol/api/operation.ts'
import { operations } from '../../server/protocol/api/operations.ts'
import type { Role } from '../../server/protocol/roles.ts'
import { checkoutFolder } from '../../server/where.ts'
import { freshDatabase } from '../support/database.ts'
import { connectBoard, enrolDevice, type RunningSunup, runSunup, until } from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

/** The examples of the specification, asked of the real server on Ellery County's plan, in the order they stand in. */
let running: RunningSunup
let deviceKey: string
const kept = { election: '', practice: '', person: '', token: '' }
const headersOf = new Map<Role, Record<string, string>>()
/** What only a running server knows, by the name that examples have for it. */
const known: Record<string, () => string | Promise<string>> = {
  $DAY: () => running.day,
  $PRECINCT: () => 'gull-point',
  $ELECTION: () => kept.election,
  $PRACTICE: () => kept.practice,
  $PERSON: () => kept.person,
  $TOKEN: () => kept.token,
  $NOTICE: () => String(running.live.state().notices[0]?.position),
  $CODE: () => running.sunup.access.issueCode(running.day, 'gull-point'),
}

beforeAll(async () => {
  const read = readPlanFolder(`${checkoutFolder()}/seed/ellery`)
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  const startAt = instantOf(read.plan.date, read.plan.hours.report, read.plan.timeZone)
  running = await runSunup({ url: await freshDatabase(), plan: read.plan, startAt })
  deviceKey = await enrolDevice(running, 'gull-point')
  await until('the first forecasts', () => running.live.forecasts() !== null)
  const { access, days } = running.sunup
  for (const [kind, date] of [
    ['election', '2026-12-08'],
    ['practice', '2026-12-01'],
  ] as const) {
    const plan = { ...read.plan, kind, date }
    kept[kind] = (await keepDay(days, plan, planHash(plan), Date.now(), 1)).id
  }
  const bera = { name: 'Bera', email: 'bera@example.gov', role: 'desk' } as const
  const invited = await access.invite(bera, 'p-admin')
  if (!invited.ok) throw new Error(JSON.stringify(invited.problems))
  kept.person = invited.link.person
  const notice = {
    id: randomUUID(),
    kind: 'SendNotice',
    body: { text: 'Rain until four.', acknowledge: true },
  }
  const sent = await fetch(`${running.url}/api/v1/days/${running.day}/commands`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', ...(await asRole('desk')) },
    body: JSON.stringify(notice),
  })
  if (!sent.ok) throw new Error(await sent.text())
  kept.token = (await access.makeProgramToken('ends soon', 'desk', 'p-admin')).id
})
afterAll(() => running.stop())

/** By a token, as programs ask; an administrator by a session. */
async function asRole(role: Role): Promise<Record<string, string>> {
  const known = headersOf.get(role)
  if (known) return known
  const person = { id: `p-${role}`, name: role, role }
  const { access } = running.sunup
  const headers =
    role === 'admin'
      ? await signedIn(access, running.url, person)
      : { Authorization: `Bearer ${await access.makeToken(person)}` }
  headersOf.set(role, headers)
  return headers
}

async function filled<T>(example: T): Promise<T> {
  let text = JSON.stringify(example ?? null)
  for (const name of new Set(text.match(/\$[A-Z]+/g)))
    text = text.replaceAll(name, (await known[name]?.()) ?? `no value for ${name}`)
  return JSON.parse(text) as T
}

async function ask({ method, pattern, who, example }: Operation) {
  const path = (await filled(example.path ?? {})) as Record<string, string>
  const address = pattern.replace(/:(\w+)/g, (_, name: string) => encodeURIComponent(path[name]!))
  const query = example.query ? `?${new URLSearchParams(example.query)}` : ''
  const caller =
    who === 'anyone'
      ? {}
      : who.includes('device')
        ? { Authorization: `Bearer ${deviceKey}` }
        : await asRole(who[0] as Role)
  const response = await fetch(`${running.url}${address}${query}`, {
    method,
    headers: {
      ...caller,
      ...(method === 'POST' ? { 'Content-Type': 'application/json' } : {}),
    },
    ...(method === 'POST' ? { body: JSON.stringify((await filled(example.body)) ?? {}) } : {}),
  })
  return { status: response.status, json: await response.json() }
}

describe('examples of the specification', () => {
  it.each(operations.map(o => [o.id, o] as const))('%s is answered as it says', async (_, operation) => {
    if (operation.body) {
      const body = operation.body.safeParse(await filled(operation.example.body))
      expect(body.error?.issues).toBeUndefined()
    }
    const { status, json } = await ask(operation)
    expect(status, JSON.stringify(json)).toBe(operation.example.status ?? 200)
    expect(operation.answer.safeParse(json).error?.issues).toBeUndefined()
    expect(operation.answer.safeParse(await filled(operation.example.answer)).error?.issues).toBeUndefined()
  })

  it('stand for every route under /api, with the roles that it is for, and for nothing else', () => {
    const line = (o: { method: string; pattern: string; who: Operation['who'] }) =>
      `${o.method} ${o.pattern} ${o.who === 'anyone' ? 'anyone' : [...o.who].sort().join(' ')}`
    const routes = running.sunup.routes.filter(r => r.pattern.startsWith('/api/'))
    expect(operations.map(line).sort()).toEqual(routes.map(line).sort())
  })

  it('and the pictures on the sockets have the form that is specified', async () => {
    const board = await connectBoard(running)
    expect(snapshot.safeParse(await board.snapshot()).error?.issues).toBeUndefined()
    const patches: unknown[] = []
    board.socket.on('patch', told => patches.push(told))
    await board.command('AddNote', { precinct: 'gull-point', note: 'The side door is open.' })
    await until('a patch', () => patches.length > 0)
    for (const told of patches) expect(patch.safeParse(told).error?.issues).toBeUndefined()
    board.close()
  })
})
