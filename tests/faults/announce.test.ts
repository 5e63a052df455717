import { type ChildProcess, fork } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { io, type Socket } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openAccessStore } from '../../db/accessStore.ts'
import { connect, type Sql } from '../../db/connect.ts'
import { openDayLog } from '../../db/dayLog.ts'
import { makeAccess } from '../../server/access/makeAccess.ts'
import { foldUntil } from '../../server/domain/day/fold.ts'
import { initialDay } from '../../server/domain/day/initial.ts'
import type { Entry } from '../../server/domain/log/entry.ts'
import { indexOf } from '../../server/domain/plan/brief.ts'
import { fromRfc3339, MINUTE, SECOND } from '../../server/domain/time.ts'
import type { Snapshot, SubscribeAnswer } from '../../server/protocol/board.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { freePort } from '../support/programs.ts'
import { connectDevice, until } from '../support/runSunup.ts'

/**
 * A server with standing reasons and a silent precinct is killed and started again. All the while somebody asks
 * whether it is ready, and a board asks for its picture: neither may be answered before the log is caught up with
 * and our outage stands in it. A minute of the day is a second here.
 */
const SPEED = 60
const START = fromRfc3339('2026-11-03T11:40:00Z')
const plan = aPlan()
let sql: Sql
let log: ReturnType<typeof openDayLog>
let url = ''
let port = 0
let day = ''
let token = ''
let server: ChildProcess

async function start(startAt: number) {
  server = fork(fileURLToPath(new URL('announcing.ts', import.meta.url)), {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  })
  const said = new Promise<{ day?: string; error?: string }>((resolve, reject) => {
    server.once('message', message => resolve(message as { day?: string }))
    server.once('exit', () => reject(new Error('the server ended at its start')))
  })
  server.send({ url, port, startAt, speed: SPEED })
  const { error, day: started } = await said
  if (error) throw new Error(error)
  day = started!
}

async function kill() {
  const dead = new Promise(resolve => server.once('exit', resolve))
  server.kill('SIGKILL')
  await dead
}

const entriesAfter = async (position: number): Promise<Entry[]> =>
  (await log.read(day, position, 5_000)).map(s => s.entry)

beforeAll(async () => {
  url = await freshDatabase()
  port = await freePort()
  sql = connect(url, { max: 3 })
  log = openDayLog(sql, { now: Date.now })
  await start(START)
  const access = makeAccess({
    store: openAccessStore(sql),
    now: Date.now,
    enrolRate: { perAddressPerMinute: 100, inAllPerMinute: 100 },
  })
  const runa = { id: 'p-runa', name: 'Runa', role: 'supervisor' } as const
  await access.addPerson(runa)
  token = await access.makeToken(runa)
  // E-01 opens, loses its tabulator and its tablet; E-02 asks for help and goes on speaking.
  const speaking = async (precinct: string) => {
    const enrolled = await access.enrol(await access.issueCode(day, precinct), 'tablet', '127.0.0.1')
    if (!enrolled.ok) throw new Error(enrolled.message)
    return connectDevice(`http://127.0.0.1:${port}`, enrolled.key)
  }
  const [first, second] = [await speaking('E-01'), await speaking('E-02')]
  await first.say(1, 'PollsOpened', {})
  await first.say(2, 'EquipmentWentDown', { equipment: 'T-01' })
  first.close()
  await second.say(1, 'PollsOpened', {})
  await second.say(2, 'HelpRequested', { about: 'workers' })
  let beats = 0
  const beating = setInterval(() => {
    const sentAt = new Date().toISOString()
    second.heartbeat({ sentAt, device: { battery: 90 } }).then(
      () => void beats++,
      () => {},
    )
  }, 400)
  await until(
    'E-01 is called for its silence',
    async () => (await entriesAfter(0)).some(e => e.kind === 'ReasonRaised' && e.body.key === 'silent:E-01'),
    40_000,
  )
  await until('E-02 is heard', () => beats > 3)
  clearInterval(beating)
  await kill()
  second.close()
}, 120_000)

afterAll(async () => {
  server?.kill('SIGKILL')
  await log.close()
  await sql.end()
})

/** What was answered while the server came back, in order; ends when it is told to. */
function asking() {
  const readiness: Array<'refused' | number> = []
  let picture: { snapshot: Snapshot; readyBefore: boolean } | null = null
  let over = false
  const socket: Socket = io(`http://127.0.0.1:${port}/board`, {
    auth: { token },
    transports: ['websocket'],
    forceNew: true,
    reconnectionDelay: 10,
    reconnectionDelayMax: 20,
  })
  socket.on('connect', async () => {
    const answer = (await socket.timeout(5_000).emitWithAck('subscribe', { day })) as SubscribeAnswer
    if (answer.ok && 'snapshot' in answer)
      picture ??= { snapshot: answer.snapshot, readyBefore: readiness.includes(200) }
  })
  const loop = (async () => {
    while (!over) {
      const status = await fetch(`http://127.0.0.1:${port}/readyz`).then(
        response => response.status,
        () => 'refused' as const,
      )
      readiness.push(status)
      await new Promise(resolve => setTimeout(resolve, 5))
    }
  })()
  return {
    readiness,
    picture: () => picture,
    end: async () => {
      over = true
      socket.disconnect()
      await loop
    },
  }
}

describe('a server that is killed with reasons standing', () => {
  it('P8: shows and announces nothing before it has caught up, says nothing twice, and after the grace what is so', async () => {
    const head = await log.head(day)
    const index = indexOf(plan, day)
    const before = foldUntil(initialDay(day, index), await entriesAfter(0), index, head.recordedAt)
    const stood = [...before.precincts.values()].flatMap(p => Object.keys(p.reasons)).sort()
    expect(stood).toEqual(
      expect.arrayContaining(['help-asked:E-02', 'silent:E-01', 'tabulator-down:E-01:T-01']),
    )

    const asked = asking()
    await new Promise(resolve => setTimeout(resolve, 300))
    // While we were away the day's clock stood still; it goes on from the last entry.
    await start(head.recordedAt)
    await until('a board has its picture', () => asked.picture() !== null)
    await until(
      'the day is past its grace',
      async () => {
        const entries = await entriesAfter(head.position)
        return entries.some(e => e.kind === 'PrecinctFellSilent' && e.precinct === 'E-02')
      },
      40_000,
    )
    await asked.end()

    // Ready only once, and from then on; a board's picture holds the whole log and our outage.
    const firstReady = asked.readiness.indexOf(200)
    expect(firstReady).toBeGreaterThan(0)
    expect(asked.readiness.slice(0, firstReady).every(s => s === 'refused' || s === 503)).toBe(true)
    expect(asked.readiness.slice(firstReady).every(s => s === 200)).toBe(true)
    const { snapshot } = asked.picture()!
    const after = await entriesAfter(head.position)
    expect(after[0]!.kind).toBe('ServiceResumed')
    expect(snapshot.cursor).toBeGreaterThan(head.position)
    expect(snapshot.rows.flatMap(r => r.reasons.map(reason => reason.key)).sort()).toEqual(stood)

    // Nothing that stood is ended or said anew in the grace, and what it was silent about it stays silent about.
    const { graceUntil } = after[0]!.body as { graceUntil: string }
    const inGrace = after.filter(e => e.recordedAt < fromRfc3339(graceUntil))
    expect(inGrace.filter(e => e.kind === 'ReasonEnded')).toEqual([])
    expect(inGrace.filter(e => e.kind === 'PrecinctFellSilent')).toEqual([])
    const fresh = inGrace.filter(e => e.kind === 'ReasonRaised' && !stood.includes(e.body.key))
    expect(fresh).toEqual([])
    // Of one that stands only newer figures may be written, by policy no sooner than a minute after the last.
    for (const e of inGrace.filter(e => e.kind === 'ReasonRaised')) {
      const { key, since } = e.body as { key: string; since: string }
      const kept = [...before.precincts.values()]
        .flatMap(p => Object.values(p.reasons))
        .find(r => r.key === key)!
      expect(fromRfc3339(since), key).toBe(kept.since)
      expect(e.occurredAt - kept.figuresAt, key).toBeGreaterThanOrEqual(MINUTE)
    }

    // After the grace the right one: E-02, whose tablet did not come back, once and at its predicted instant.
    const fell = after.filter(e => e.kind === 'PrecinctFellSilent')
    expect(fell.map(e => e.precinct)).toEqual(['E-02'])
    const { heardAt } = fell[0]!.body as { heardAt: string }
    const due = fromRfc3339(heardAt) + plan.policy.heartbeat.silentAfterSeconds * SECOND
    expect(fell[0]!.occurredAt).toBe(Math.max(due, fromRfc3339(graceUntil)))
    expect((await log.verify(day)).ok).toBe(true)
  })
})
