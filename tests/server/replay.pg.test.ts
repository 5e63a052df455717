import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { fromRfc3339, MINUTE, toRfc3339 } from '../../server/domain/time.ts'
import { createReplay, type Replay } from '../../server/live/replay.ts'
import type { PrecinctDetail, Snapshot } from '../../server/protocol/board.ts'
import type { DayMarks, ReviewDays } from '../../server/protocol/review.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  type TestBoard,
  type TestDevice,
  until,
} from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

/**
 * A running day asked for its past, over HTTP as the review page asks. The wall clock is the test's own. At 06:20 of
 * the plan's day it begins; E-01 says how it opens; a paper note of E-02 comes in late.
 */
const START = fromRfc3339('2026-11-03T11:20:00Z')
const RUNA: Person = { id: 'p-runa', name: 'Runa', role: 'supervisor' }
const ADA: Person = { id: 'p-ada', name: 'Ada', role: 'admin' }
const IMRE: Person = { id: 'p-imre', name: 'Imre', role: 'desk' }
let skip = 0
let running: RunningSunup
let device: TestDevice
let board: TestBoard
const headersOf: Record<string, Record<string, string>> = {}
/** What the live board showed, as it was told. */
const seen: Snapshot[] = []

const text = (at: number) => toRfc3339(at)
async function get<T>(path: string, person: Person = RUNA): Promise<{ status: number; json: T }> {
  const headers = headersOf[person.id]!
  const response = await fetch(`${running.url}/api/v1/${path}`, { headers })
  return { status: response.status, json: (await response.json()) as T }
}
const state = (query: string, person?: Person) => get<Snapshot>(`days/${running.day}/state${query}`, person)
const problems = (query: string) =>
  get<{ problems: Array<{ path: string; message: string }> }>(`days/${running.day}/state${query}`)
/** Looks at a quiet moment: an entry is dated when its writing begins, and shown a few milliseconds later. */
async function look() {
  for (;;) {
    const then = await board.snapshot()
    await new Promise(resolve => setTimeout(resolve, 150))
    const after = await running.sunup.log.read(running.day, then.cursor, 1)
    if (after.every(({ entry }) => entry.recordedAt > then.now)) return seen.push(then)
  }
}
/** The day goes on by so many minutes. */
const pass = (minutes: number) => {
  skip += minutes * MINUTE
}

beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    startAt: START,
    wall: () => Date.now() + skip,
  })
  for (const person of [RUNA, ADA, IMRE])
    headersOf[person.id] = await signedIn(running.sunup.access, running.url, person)
  board = await connectBoard(running, RUNA)
  device = await connectDevice(running.url, await enrolDevice(running, 'E-01'))
  await look()
  await device.say(1, 'TeamReported', { present: 8, missing: [] })
  await look()
  pass(12)
  await device.say(2, 'PollsOpened', {})
  await device.say(3, 'IncidentNoted', { category: 'access', what: 'the ramp is steep' })
  await device.say(4, 'HelpRequested', { about: 'workers' })
  await until('three precincts are called', () => running.live.calls().length >= 3)
  await look()
  const back = running.live.now() + 3 * MINUTE
  await board.command('DeferCall', { precincts: ['E-03'], until: text(back) })
  await look()
  pass(4)
  await look()
  await board.command('RecordReports', {
    precinct: 'E-02',
    via: 'paper',
    spoke: 'precinct lead',
    reports: [{ kind: 'PollsOpened', at: text(START + 11 * MINUTE), body: {} }],
  })
  await until('E-02 is open on the board', () =>
    running.live.rows().some(row => row.code === 'E-02' && row.standing === 'open'),
  )
  await look()
})
afterAll(async () => {
  device.close()
  board.close()
  await running.stop()
})

const shown = ({ rows, calls, errands, cursor, head, plan, log }: Snapshot) => ({
  rows,
  calls,
  errands,
  cursor,
  head,
  plan,
  log,
})

describe('the state of a day at an instant', () => {
  it('P12: is what the live board showed then, rows and calls, at each instant that was looked at', async () => {
    expect(seen.map(s => s.cursor)).toEqual([...seen.map(s => s.cursor)].sort((a, b) => a - b))
    for (const then of seen) {
      const { status, json } = await state(`?at=${text(then.now)}`)
      expect(status).toBe(200)
      expect(shown(json)).toEqual(shown(then))
      expect(json).toMatchObject({ now: then.now, speed: 0, people: { 'p-runa': 'Runa' } })
    }
    // The looks differ, or this proves nothing: the call that stepped back was back four minutes later.
    const e03 = seen.map(s => s.calls.find(l => l.key === 'E-03')?.steppedBack)
    expect(e03.slice(2, 5)).toEqual([false, true, false])
  })

  it('P12: at a position is the state right after that entry, at the instant it was recorded', async () => {
    const stored = await running.sunup.log.read(running.day, 0, 1_000)
    for (const { entry, hash } of stored) {
      const { json } = await state(`?position=${entry.position}`)
      expect(json.head).toEqual({ position: entry.position, hash })
      expect(json.now).toBe(entry.recordedAt)
    }
  })

  it('P12: as happened tells what was told late, without the verdicts of the system', async () => {
    const at = text(START + 11 * MINUTE + 30_000)
    const known = (await state(`?at=${at}`)).json
    const happened = (await state(`?at=${at}&view=happened`)).json
    const standing = (s: Snapshot, code: string) => s.rows.find(r => r.code === code)!.standing
    expect(standing(known, 'E-02')).toBe('not-heard')
    expect(standing(happened, 'E-02')).toBe('open')
    const later = (await state(`?at=${text(seen.at(-1)!.now)}&view=happened`)).json
    expect(later.calls).toEqual([])
    expect(later.rows.every(r => r.reasons.length === 0)).toBe(true)
    expect(later.head.position).toBe((await running.sunup.log.head(running.day)).position)
  })

  it('keeps within the day: before its start is its start, and what has not come yet is refused by field', async () => {
    const early = (await state(`?at=${text(START - 600 * MINUTE)}`)).json
    expect(early.cursor).toBe(1)
    expect(early.now).toBe((await state('?position=1')).json.now)
    const future = await problems(`?at=${text(running.live.now() + 60 * MINUTE)}`)
    expect(future).toMatchObject({ status: 400, json: { problems: [{ path: 'at' }] } })
    expect(future.json.problems[0]!.message).toMatch(/not come yet: it is 06:\d\d/)
    expect(await problems('?position=100000')).toMatchObject({
      status: 400,
      json: { problems: [{ path: 'position' }] },
    })
    for (const [query, path] of [
      ['?at=yesterday', 'at'],
      ['?position=0', 'position'],
      ['?view=other', 'view'],
      [`?position=1&at=${text(START)}`, 'position'],
    ] as const)
      expect(await problems(query), query).toMatchObject({ status: 400, json: { problems: [{ path }] } })
  })

  it('P14: is for supervisors and administrators, and holds no words and no contacts', async () => {
    expect((await state('', ADA)).status).toBe(200)
    expect((await state('', IMRE)).status).toBe(403)
    expect((await get(`days/${running.day}/marks`, IMRE)).status).toBe(403)
    expect((await get('review', IMRE)).status).toBe(403)
    expect((await get('days/no-such-day/state')).status).toBe(404)
    const all = JSON.stringify((await state('', ADA)).json)
    expect(all).not.toContain('the ramp is steep')
    for (const { name, phone } of running.live.plan.contacts)
      expect(all.includes(name) || all.includes(phone), name).toBe(false)
  })
})

describe('beside the board', () => {
  it('a precinct’s entries reach up to the instant, as known and as happened; words by role', async () => {
    const path = (code: string, at: number, more = '') =>
      `days/${running.day}/precincts/${code}?until=${text(at)}${more}`
    const noted = ({ json }: { json: PrecinctDetail }) => json.entries.find(e => e.kind === 'IncidentNoted')
    const before = await get<PrecinctDetail>(path('E-01', seen[1]!.now))
    const told = before.json.entries.filter(e => !e.kind.startsWith('Reason'))
    expect(told.map(e => e.kind)).toEqual(['TeamReported', 'DeviceEnrolled'])
    const after = await get<PrecinctDetail>(path('E-01', seen[2]!.now))
    expect(noted(after)?.detail).toEqual({ what: 'the ramp is steep' })
    const byAda = noted(await get<PrecinctDetail>(path('E-01', seen[2]!.now), ADA))
    expect([byAda?.kind, byAda?.detail]).toEqual(['IncidentNoted', undefined])
    const lateAt = START + 11 * MINUTE + 30_000
    const knownThen = (await get<PrecinctDetail>(path('E-02', lateAt))).json.entries
    expect(knownThen.map(e => e.kind)).not.toContain('PollsOpened')
    expect(
      (await get<PrecinctDetail>(path('E-02', lateAt, '&view=happened'))).json.entries.map(e => e.kind),
    ).toEqual(['PollsOpened'])
    expect((await get(path('E-99', lateAt))).status).toBe(404)
    expect((await get(`days/${running.day}/precincts/E-01?until=noon`)).status).toBe(400)
  })

  it('the marks tell how far the day reaches, what was recorded when, and the reasons that could not wait', async () => {
    const { json } = await get<DayMarks>(`days/${running.day}/marks`)
    const head = await running.sunup.log.head(running.day)
    expect(json).toMatchObject({ running: true, entries: head.position, timeZone: 'America/New_York' })
    expect(json.last).toBeGreaterThanOrEqual(head.recordedAt)
    expect(json.quarters.reduce((sum, q) => sum + q.entries, 0)).toBe(head.position)
    expect(json.reasons.map(r => [r.rule, r.precinct])).toContainEqual(['help-asked', 'E-01'])
    const { json: review } = await get<ReviewDays>('review')
    expect(review.days).toMatchObject([{ id: running.day, is: 'running' }])
  })
})

describe('the replay itself', () => {
  /** A replay of the same log that counts what it reads; of a day that does not run. */
  function counting(): { replay: Replay; read: { pages: number; plans: number } } {
    const read = { pages: 0, plans: 0 }
    const { log } = running.sunup
    const replay = createReplay({
      log: {
        ...log,
        read: (day, after, limit) => {
          read.pages += 1
          return log.read(day, after, limit)
        },
        head: day => log.head(running.day).then(head => (day === 'empty' ? { ...head, position: 0 } : head)),
      },
      planOf: async day => {
        read.plans += 1
        return day === 'unknown' ? null : running.live.plan
      },
      nowOf: () => null,
      people: () => ({}),
    })
    return { replay, read }
  }

  it('reads a day that nobody runs, which ends with its last entry', async () => {
    const { replay } = counting()
    const head = await running.sunup.log.head(running.day)
    const answer = await replay.picture(running.day, { view: 'known', at: START + 900 * MINUTE })
    expect(answer).toMatchObject({ ok: true, value: { now: head.recordedAt, cursor: head.position } })
    expect(await replay.marks(running.day)).toMatchObject({
      ok: true,
      value: { last: head.recordedAt, running: false },
    })
  })

  it('asks the log once for a question that many ask at once, and not again for the same picture', async () => {
    const { replay, read } = counting()
    const asked = { view: 'known', at: seen[2]!.now } as const
    const all = await Promise.all(Array.from({ length: 10 }, () => replay.picture(running.day, asked)))
    expect(new Set(all).size).toBe(1)
    const pages = read.pages
    await replay.picture(running.day, asked)
    expect(read.pages).toBe(pages)
    expect(read.plans).toBe(1)
  })

  it('says busy to more than it lets wait, and serves the others', async () => {
    const { replay } = counting()
    const answers = await Promise.all(
      Array.from({ length: 40 }, (_, i) =>
        replay.picture(running.day, { view: 'known', at: START + i * 1_000 }),
      ),
    )
    expect(answers.filter(a => a.ok).length).toBe(24)
    expect(answers.filter(a => !a.ok && a.is === 'busy').length).toBe(16)
    expect(await replay.picture(running.day, { view: 'known' })).toMatchObject({ ok: true })
  })

  it('has nothing of a day that is unknown or has no entry, and keeps neither', async () => {
    const { replay, read } = counting()
    expect(await replay.picture('unknown', { view: 'known' })).toMatchObject({
      ok: false,
      is: 'unknown',
      path: 'day',
    })
    for (let i = 0; i < 2; i++)
      expect(await replay.marks('empty')).toMatchObject({
        ok: false,
        is: 'unknown',
        message: /Nothing is recorded/,
      })
    expect(read.plans).toBe(3)
  })
})
