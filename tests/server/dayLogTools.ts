import { connect, type Sql } from '../../db/connect.ts'
import { type DayLogOptions, openDayLog } from '../../db/dayLog.ts'
import { openDays } from '../../db/days.ts'
import type { DayLog, NewEntry, Offered, Stored } from '../../server/domain/log/dayLog.ts'
import { fingerprint } from '../../server/domain/log/fingerprint.ts'
import { fromRfc3339, type Instant } from '../../server/domain/time.ts'
import { aPlan, DAY } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'

export const NINE: Instant = fromRfc3339('2026-11-03T14:00:00Z')
export const AT = '2026-11-03T14:00:00Z'

export type Node = { log: DayLog & { close(): Promise<void> }; sql: Sql }
export type World = {
  url: string
  day: string
  owner: Sql
  clock: { now: Instant }
  nodes: Node[]
  close(): Promise<void>
}

/** A day in a database of its own, with one or more nodes on it that share one clock. */
export async function aWorld(nodes = 1, options: Partial<DayLogOptions> = {}): Promise<World> {
  const url = await freshDatabase()
  const world: World = {
    url,
    day: DAY,
    owner: connect(url, { max: 2, as: 'owner', name: 'owner' }),
    clock: { now: NINE },
    nodes: [],
    close: async () => {
      for (const node of world.nodes) {
        await node.log.close()
        await node.sql.end({ timeout: 1 })
      }
      await world.owner.end({ timeout: 1 })
    },
  }
  for (let i = 0; i < nodes; i++) addNode(world, url, options)
  await addDay(world.nodes[0]!.sql, DAY)
  return world
}

export function addNode(world: World, url = world.url, options: Partial<DayLogOptions> = {}): Node {
  const sql = connect(url, { max: 4, name: `node ${world.nodes.length + 1}` })
  const log = openDayLog(sql, { now: () => world.clock.now, pollMs: 50, gatherMs: 1, ...options })
  const node = { log, sql }
  world.nodes.push(node)
  return node
}

export async function addDay(sql: Sql, id: string): Promise<void> {
  const days = openDays(sql)
  const plan = aPlan()
  await days.savePlan('a'.repeat(64), JSON.stringify(plan))
  await days.create({
    id,
    county: plan.county,
    name: plan.name,
    kind: plan.kind,
    date: plan.date,
    timeZone: plan.timeZone,
    planHash: 'a'.repeat(64),
    openedAt: NINE,
    seed: null,
  })
}

/** A line of so many people, reported under a number. */
export function line(source: string, number: number, inLine = number, precinct = 'E-01'): Offered {
  const body = { inLine }
  return {
    number,
    content: fingerprint(AT, 'LineReported', body),
    sent: JSON.stringify({ number, at: AT, kind: 'LineReported', body }),
    make: recordedAt => ({
      kind: 'LineReported',
      version: 1,
      precinct,
      source,
      number,
      occurredAt: recordedAt - 5_000,
      origin: { via: 'device' },
      body,
    }),
  }
}

export function badLine(number: number, inLine = -1): Offered {
  return {
    number,
    content: fingerprint(AT, 'LineReported', { inLine }),
    sent: JSON.stringify({ number, at: AT, kind: 'LineReported', body: { inLine } }),
    problems: [{ path: 'body.inLine', message: 'too small' }],
  }
}

export function lines(source: string, from: number, to: number): Offered[] {
  return Array.from({ length: to - from + 1 }, (_, i) => line(source, from + i))
}

export function incident(source: string, number: number, what: string): Offered {
  const { make: _, ...offered } = line(source, number) as Extract<Offered, { make: unknown }>
  return {
    ...offered,
    make: recordedAt => ({
      kind: 'IncidentNoted',
      version: 1,
      precinct: 'E-02',
      source,
      number,
      occurredAt: recordedAt,
      origin: { via: 'device' },
      body: { category: 'power' } as never,
      detail: { what },
    }),
  }
}

export function note(source: string, number: number | null, now: Instant): NewEntry {
  return {
    kind: 'CallTaken',
    version: 1,
    precinct: 'E-01',
    source,
    number,
    occurredAt: now,
    origin: { via: 'desk', wrote: 'p-1' },
    body: {},
  }
}

export async function all(log: DayLog, day: string): Promise<Stored[]> {
  const stored: Stored[] = []
  for (;;) {
    const page = await log.read(day, stored.length, 1_000)
    if (page.length === 0) return stored
    stored.push(...page)
  }
}

export const positions = (stored: Stored[]) => stored.map(s => s.entry.position)
export const upTo = (n: number) => Array.from({ length: n }, (_, i) => i + 1)
