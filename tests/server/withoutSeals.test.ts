import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { callList } from '../../server/domain/day/callList.ts'
import { fold } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import { rowOf } from '../../server/domain/day/rowOf.ts'
import type { DayLogReader, Stored } from '../../server/domain/log/dayLog.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import { sealNumber } from '../../server/domain/log/fields.ts'
import { kinds } from '../../server/domain/log/kinds.ts'
import { parseEntry } from '../../server/domain/log/text.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import type { Caller } from '../../server/http/caller.ts'
import { dayRoutes } from '../../server/http/dayRoutes.ts'
import { returnRoutes } from '../../server/http/returnRoutes.ts'
import { snapshotOf } from '../../server/live/snapshotOf.ts'
import { snapshotFor } from '../../server/outputs/snapshotFor.ts'
import { withoutSeals } from '../../server/outputs/withoutSeals.ts'
import { type Role, roles } from '../../server/protocol/roles.ts'
import { judging } from '../domain/calls/judging.ts'
import { aPlan, DAY } from '../support/aPlan.ts'
import { at, givenPlan, says } from '../support/given.ts'
import { routeTable } from './peopleTable.ts'

/** Who checks a return in types the seals that they find: no answer shows them a number before. */
const plan = aPlan({
  kind: 'election',
  seals: [
    { precinct: 'E-01', container: 'box', number: 'PLAN-box' },
    { precinct: 'E-03', container: 'bag', number: 'PLAN-bag', phase: 'closing' },
  ],
})
const index = indexOf(plan, DAY)

const folder = fileURLToPath(new URL('../reference/', import.meta.url))
const frozen = readdirSync(folder)
  .filter(file => /^entries-v\d+\.jsonl$/.test(file))
  .sort()
  .flatMap(file => readFileSync(`${folder}${file}`, 'utf8').trimEnd().split('\n'))
  .map(line => parseEntry(JSON.parse(line).text))
  .filter(entry => entry.kind !== 'DayClosed')

/** Two seals that differ and a return that differs, as the rules of the day raise them. */
const judged = givenPlan(
  plan,
  says('E-01', '05:42', 'SealRecorded', { container: 'box', found: 'FOUND-box', state: 'intact' }),
  says('E-03', '05:42', 'SealRecorded', { container: 'lid', found: 'FOUND-lid', state: 'broken' }),
  says('E-03', '19:40', 'PollsClosed', {}),
  says('E-03', '20:10', 'ReturnDeparted', { carriers: 2, items: ['case'], seals: ['SENT-1', 'SENT-2'] }),
  says('E-03', '20:40', 'ReturnReceived', { items: [], seals: ['CAME-1'] }, { via: 'caller', wrote: 'ada' }),
)
const raised = judging(judged)
  .at('20:41')
  .map(draft => ({ ...draft, recordedAt: at('20:41') }) as Entry)
const all = [...frozen, ...judged.entries, ...raised].map((entry, i) => ({ ...entry, position: i + 1 }))

/** Every number of a seal that the plan, an entry's body or a reason's evidence has. */
function numbersOf(entries: readonly Entry[]): string[] {
  const found = new Set(plan.seals.map(s => s.number))
  for (const { kind, body } of entries) {
    if (kind === 'SealRecorded') found.add(body.found)
    if (kind === 'ReturnDeparted' || kind === 'ReturnReceived') for (const seal of body.seals) found.add(seal)
  }
  return [...found]
}
const numbers = numbersOf(all)

const log: Pick<DayLogReader, 'read' | 'readPrecinct'> = {
  read: async (_, after, limit) => stored.slice(after, after + limit),
  readPrecinct: async (_, code, limit) =>
    stored
      .filter(s => s.entry.precinct === code)
      .reverse()
      .slice(0, limit),
}
const stored: Stored[] = all.map(entry => ({ entry, text: '', hash: 'f'.repeat(64) }))
const state = fold(initialDay(DAY, index), all, index)
const now = at('20:45')
const day = {
  day: DAY,
  index,
  now: () => now,
  speed: () => 1,
  cursor: () => state.cursor,
  head: () => ({ position: state.cursor, hash: '' }),
  rows: () => [...state.precincts.values()].map(p => rowOf(p, index)),
  calls: () => callList(state, index, now),
  state: () => state,
}
const routes = [
  ...dayRoutes({
    log: log as DayLogReader,
    reach: async () => day,
    days: async () => [],
    until: async () => ({ ok: false, is: 'unknown', path: '', message: '' }),
    nameOf: id => id,
    devices: async () => [],
    known: async () => true,
    refused: async () => [],
    command: async () => ({ ok: true, position: 1 }),
  }),
  ...returnRoutes({ reach: async () => day, nameOf: id => id }),
].filter(route => route.method === 'GET')

async function answers(role: Role): Promise<Map<string, string>> {
  const caller: Caller = { person: { id: 'p-1', name: 'Nell', role }, by: 'token' }
  const texts = new Map<string, string>()
  for (const route of routes) {
    if (!(route.who as readonly string[]).includes(role)) continue
    const answer = await route.handle({
      request: {} as never,
      params: { day: DAY, code: 'E-02' },
      query: new URLSearchParams(route.pattern.endsWith('/log') ? { limit: '1000' } : {}),
      caller,
      address: '',
      body: undefined,
    })
    expect(answer.status, route.pattern).toBe(200)
    texts.set(route.pattern, JSON.stringify('json' in answer ? answer.json : ''))
  }
  return texts
}
const shownIn = (text: string, but: readonly string[] = []) =>
  numbers.filter(n => !but.includes(n) && text.includes(JSON.stringify(n)))

describe('the numbers of seals', () => {
  it('are in these entries of every sort that can hold one, and in the evidence of both reasons', () => {
    const sorts = new Set(all.map(e => e.kind))
    expect([...sealKinds().keys()].filter(kind => !sorts.has(kind as never))).toEqual([])
    const evidence = JSON.stringify(raised.map(e => e.body))
    for (const number of ['PLAN-box', 'FOUND-box', 'FOUND-lid', 'SENT-1', 'SENT-2', 'CAME-1'])
      expect(evidence).toContain(number)
  })

  it('P14 are in no GET answer to a receiving station but of the return that was checked in', async () => {
    const told = await answers('receiving')
    const wanted = Object.entries(routeTable)
      .filter(([line, who]) => line.startsWith('GET') && who !== 'anyone' && who.includes('receiving'))
      .map(([line]) => line.slice('GET '.length))
    expect([...told.keys()].sort()).toEqual(wanted.sort())
    for (const [pattern, text] of told) {
      // E-02 of the frozen samples was checked in with this seal.
      const checkedIn = pattern.endsWith('/returns') ? ['S-02-box'] : []
      expect(shownIn(text, checkedIn), pattern).toEqual([])
    }
  })

  it('are in the log and on the board of every other role', async () => {
    for (const role of roles.filter(r => r !== 'receiving')) {
      const told = await answers(role)
      expect(shownIn(told.get('/api/v1/days/:day/log')!), role).toContain('SENT-1')
      expect(shownIn(told.get('/api/v1/days/:day/board')!), role).toContain('FOUND-box')
    }
  })

  it('P14 are in no board of a receiving station on the socket, and in those of others', () => {
    const picture = snapshotOf({
      state,
      index,
      rows: p => rowOf(p, index),
      log: '',
      head: day.head(),
      now,
      speed: 1,
      people: {},
    })
    expect(shownIn(JSON.stringify(snapshotFor('receiving', picture)))).toEqual([])
    expect(shownIn(JSON.stringify(snapshotFor('rover', picture)))).toContain('FOUND-box')
    expect(snapshotFor('receiving', picture).rows.map(r => r.reasons.map(reason => reason.key))).toEqual(
      picture.rows.map(r => r.reasons.map(reason => reason.key)),
    )
  })

  it('are left out of each field that the schema of any kind has for one, and nothing else is', () => {
    for (const [kind, fields] of sealKinds()) {
      const sample = all.find(e => e.kind === kind)!.body as Record<string, unknown>
      const kept = withoutSeals(sample) as Record<string, unknown>
      expect(
        Object.keys(sample).filter(name => !(name in kept)),
        kind,
      ).toEqual(fields)
    }
    for (const { kind, body } of frozen)
      if (!sealKinds().has(kind)) expect(withoutSeals(body), kind).toEqual(body)
  })
})

/** Kinds whose body has a field for a seal's number, or for a list of them: by the schema itself. */
function sealKinds(): Map<string, string[]> {
  const found = new Map<string, string[]>()
  for (const [kind, { body }] of Object.entries(kinds)) {
    const fields = Object.entries((body as z.ZodObject).shape)
      .filter(([, field]) => holdsSeal(field as z.ZodType))
      .map(([name]) => name)
    if (fields.length > 0) found.set(kind, fields)
  }
  return found
}

function holdsSeal(schema: z.ZodType): boolean {
  if (schema === sealNumber) return true
  const { innerType, element } = schema.def as { innerType?: z.ZodType; element?: z.ZodType }
  const inner = innerType ?? element
  return inner !== undefined && holdsSeal(inner)
}
