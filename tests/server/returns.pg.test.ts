import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { type ReturnOnWire, returnsAnswer } from '../../server/protocol/returns.ts'
import { type Role, roles } from '../../server/protocol/roles.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { at } from '../support/given.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  type RunningSunup,
  runSunup,
  until,
} from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

/** Returns over the whole server: a tablet says what it sent, two clerks check it in, the desk gets the call. */
const person = (role: Role, name: string): Person => ({ id: `p-${name.toLowerCase()}`, name, role })
const NELL: Person = { ...person('receiving', 'Nell'), post: 'PL-01' }
const OMAR: Person = person('receiving', 'Omar')

let running: RunningSunup
beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan({ receiving: ['PL-01'] }),
    startAt: at('20:30'),
  })
  const tablet = await connectDevice(running.url, await enrolDevice(running, 'E-01'))
  await tablet.say(1, 'PollsClosed', {})
  await tablet.say(2, 'ReturnDeparted', { carriers: 2, items: ['case', 'tapes'], seals: ['R-1', 'R-2'] })
  tablet.close()
})
afterAll(() => running?.stop())

async function tokenOf(who: Person): Promise<string> {
  await running.sunup.access.addPerson(who)
  return running.sunup.access.makeToken(who)
}
/** A board that looks at the day, so that it may command. */
async function boardOf(who?: Person) {
  const board = await connectBoard(running, who)
  await board.snapshot()
  return board
}
async function get(path: string, who: Person | null) {
  // No token acts as an administrator: they come by a session.
  const headers: Record<string, string> = !who
    ? {}
    : who.role === 'admin'
      ? await signedIn(running.sunup.access, running.url, who)
      : { Authorization: `Bearer ${await tokenOf(who)}` }
  return fetch(`${running.url}/api/v1/days/${running.day}${path}`, { headers })
}
async function returnOf(code: string, who = NELL): Promise<ReturnOnWire> {
  const told = returnsAnswer.parse(await (await get(`/returns?precinct=${code}`, who)).json())
  expect(told.returns).toHaveLength(1)
  return told.returns[0]!
}
const found = (changes: object) => ({ precinct: 'E-01', items: ['case', 'tapes'], carriers: 2, ...changes })

describe('returns', () => {
  it('P14 are told to receiving, desk and supervisor alone', async () => {
    const answers: Record<string, number> = { nobody: (await get('/returns', null)).status }
    for (const role of roles) answers[role] = (await get('/returns', person(role, `Any ${role}`))).status
    expect(answers).toEqual({
      nobody: 401,
      receiving: 200,
      desk: 200,
      supervisor: 200,
      rover: 403,
      admin: 403,
    })
  })

  it('P14 name no seal before it was found, whoever asks', async () => {
    for (const who of [NELL, person('desk', 'Imre')]) {
      const text = await (await get('/returns', who)).text()
      expect(text).toContain('"items":["case","tapes"],"seals":2')
      expect(text).not.toMatch(/R-1|R-2|S-0/)
    }
  })

  it('P14 tell a receiving board on the socket no number, in picture and patches, though it follows every entry', async () => {
    const told: Record<string, string> = { receiving: '', desk: '' }
    const boards = [await boardOf(NELL), await boardOf()]
    boards.forEach((board, i) => {
      const who = i === 0 ? 'receiving' : 'desk'
      board.socket.on('patch', patch => {
        told[who] += JSON.stringify(patch)
      })
    })
    const tablet = await connectDevice(running.url, await enrolDevice(running, 'E-03'))
    await tablet.say(1, 'SealRecorded', { container: 'box', found: 'X-77', state: 'intact' })
    const reason = 'seal-different:E-03:box'
    for (const who of ['receiving', 'desk'])
      await until(`${who} has the reason`, () => told[who]!.includes(reason))
    expect(told.desk).toMatch(/X-77.*S-03-box|S-03-box.*X-77/)
    for (const text of [told.receiving, JSON.stringify(await boards[0]!.snapshot())]) {
      expect(text).toContain(reason)
      expect(text).not.toMatch(/X-77|S-03-box/)
    }
    tablet.close()
    for (const board of boards) board.close()
  })

  it('a precinct that the plan hasn’t is a clear refusal', async () => {
    const answer = await get('/returns?precinct=E-01&precinct=E-99', NELL)
    expect([answer.status, await answer.json()]).toMatchObject([404, { problems: [{ path: 'precinct' }] }])
  })

  it('of two clerks who check in one return at once exactly one does; the other is told who has it', async () => {
    const boards = [await boardOf(NELL), await boardOf(OMAR)]
    const desk = await boardOf()
    const answers = await Promise.all(
      boards.map((board, i) =>
        board.command('CheckInReturn', found({ seals: ['R-1', `R-${i + 8}`], deliveredBy: 'Two clerks' })),
      ),
    )
    expect(answers.map(a => a.ok).sort()).toEqual([false, true])
    const first = answers[0]!.ok ? 'Nell' : 'Omar'
    const refused = answers.find(a => !a.ok)
    expect(refused).toMatchObject({
      refusal: {
        reason: 'other-state',
        by: first,
        message: expect.stringContaining(`${first} checked this return in at 20:3`),
      },
    })
    const told = await returnOf('E-01')
    const wrong = first === 'Nell' ? 'R-8' : 'R-9'
    expect(told).toMatchObject({
      standing: 'received',
      received: { by: first, via: 'desk', seals: ['R-1', wrong], carriers: 2 },
      difference: { itemsMissing: [], itemsExtra: [], sealsMissing: ['R-2'], sealsExtra: [wrong] },
    })
    expect(told.received!.station).toEqual(first === 'Nell' ? { code: 'PL-01', name: 'Harbor Hall' } : null)
    expect(JSON.stringify(told)).not.toContain('Two clerks')

    await until('the desk has the call', async () => {
      const { calls } = await desk.snapshot()
      return calls.some(line => line.reasons.some(r => r.key === 'return-different:E-01'))
    })
    const position = told.received!.position
    expect(told.received!.receipt).toBe(`R-${position}`)
    const log = await (await get(`/log?after=${position - 1}&limit=1`, NELL)).json()
    expect(log.entries).toMatchObject([{ position, kind: 'ReturnReceived', precinct: 'E-01' }])
    expect(log.entries[0]).not.toHaveProperty('detail')

    await desk.command('LogCall', {
      precincts: ['E-01'],
      outcome: 'watching',
      until: new Date(running.live.now() + 600_000).toISOString(),
    })
    const still = await desk.snapshot()
    expect(still.rows.find(r => r.code === 'E-01')!.reasons.map(r => r.rule)).toContain('return-different')

    const id = randomUUID()
    const again = found({ seals: ['r-2', 'R-1'], replaces: position })
    const twice = [
      await boards[0]!.command('CheckInReturn', again, id),
      await boards[0]!.command('CheckInReturn', again, id),
    ]
    expect(twice).toMatchObject([{ ok: true }, { ok: true }])
    expect(await returnOf('E-01')).toMatchObject({
      received: { by: 'Nell', seals: ['r-2', 'R-1'] },
      difference: { sealsMissing: [], sealsExtra: [] },
    })
    await until('the reason ends', async () => {
      const { rows } = await desk.snapshot()
      return rows.find(r => r.code === 'E-01')!.reasons.every(r => r.rule !== 'return-different')
    })
    const entries = await running.sunup.log.readPrecinct(running.day, 'E-01', 100)
    expect(entries.filter(e => e.entry.kind === 'ReturnReceived')).toHaveLength(2)
    for (const board of [...boards, desk]) board.close()
  })

  it('P14 are checked in by receiving, desk and supervisor; rovers and administrators are refused', async () => {
    for (const role of ['rover', 'admin'] as const) {
      const board = await boardOf(person(role, `Any ${role}`))
      expect(await board.command('CheckInReturn', found({ precinct: 'E-02', seals: [] }))).toMatchObject({
        ok: false,
        refusal: { reason: 'not-allowed' },
      })
      board.close()
    }
    expect((await returnOf('E-02')).received).toBeNull()
  })
})
