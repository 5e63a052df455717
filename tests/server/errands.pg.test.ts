import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { SECOND } from '../../server/domain/time.ts'
import { errandsAnswer } from '../../server/protocol/errands.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  IMRE,
  type RunningSunup,
  runSunup,
  type TestBoard,
  until,
} from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

/** Errands through the whole server: decided under the head's lock, shown by patches, told by the API. */
let running: RunningSunup
let desk: TestBoard
let rover: TestBoard
const ONE: Person = { id: 'p-one', name: 'One', role: 'rover', post: 'R-1' }
const TWO: Person = { id: 'p-two', name: 'Two', role: 'rover', post: 'R-2' }
const UNPOSTED: Person = { id: 'p-new', name: 'New', role: 'rover' }

beforeAll(async () => {
  // Harbor and Mill share a place.
  const precincts = aPlan().precincts.map(p => (p.code === 'E-02' ? { ...p, place: 'PL-01' } : p))
  running = await runSunup({ url: await freshDatabase(), plan: aPlan({ precincts }) })
  desk = await connectBoard(running)
  rover = await connectBoard(running, ONE)
  await desk.snapshot()
  await rover.snapshot()
})
afterAll(async () => {
  desk?.close()
  rover?.close()
  await running?.stop()
})

async function sendTo(precinct: string, what?: string, who = 'R-1'): Promise<string> {
  const id = randomUUID()
  const answer = await desk.command('SendRover', { rover: who, precinct, ...(what ? { what } : {}) }, id)
  expect(answer).toMatchObject({ ok: true })
  return id
}
const errand = (id: string) => running.live.state().errands.get(id)!

async function asks(person: Person, day = running.day) {
  const headers = await signedIn(running.sunup.access, running.url, person)
  const response = await fetch(`${running.url}/api/v1/days/${day}/errands`, { headers })
  return { status: response.status, body: await response.json() }
}

describe('an errand', () => {
  it('is made once by however many tries of the same command, and moved by its rover to its end', async () => {
    const id = randomUUID()
    const body = { rover: 'R-1', precinct: 'E-01', what: 'spare tabulator' }
    const [first, again] = await Promise.all([
      desk.command('SendRover', body, id),
      desk.command('SendRover', body, id),
    ])
    expect(first).toMatchObject({ ok: true })
    expect(again).toMatchObject({ ok: true })
    expect(errand(id)).toMatchObject({ rover: 'R-1', is: 'assigned' })
    for (const [kind, is] of [
      ['AcceptErrand', 'accepted'],
      ['SetOut', 'on-the-way'],
      ['ArriveOnSite', 'on-site'],
      ['FinishErrand', 'done'],
    ] as const) {
      expect(await rover.command(kind, { errand: id })).toMatchObject({ ok: true })
      // A second tap, with an id of its own.
      expect(await rover.command(kind, { errand: id })).toMatchObject({ ok: true })
      expect(errand(id).is).toBe(is)
    }
    const { entries } = (await (
      await fetch(`${running.url}/api/v1/days/${running.day}/log?limit=1000`, {
        headers: { Authorization: `Bearer ${await running.sunup.access.makeToken(IMRE)}` },
      })
    ).json()) as { entries: Array<{ kind: string; body: { errand?: string; what?: string } }> }
    const theirs = entries.filter(e => e.body.errand === id)
    expect(theirs.map(e => e.kind)).toEqual([
      'RoverAssigned',
      'RoverAccepted',
      'RoverOnTheWay',
      'RoverArrived',
      'RoverFinished',
    ])
    expect(theirs[0]!.body.what).toBeUndefined()
  })

  it('goes to one rover only, of two who are sent to the same place at once', async () => {
    const answers = await Promise.all([
      desk.command('SendRover', { rover: 'R-1', precinct: 'E-01' }),
      desk.command('SendRover', { rover: 'R-2', precinct: 'E-02' }),
    ])
    expect(answers.map(a => a.ok).sort()).toEqual([false, true])
    const refused = answers.find(a => !a.ok)
    expect(refused).toMatchObject({ refusal: { reason: 'already-taken' } })
    const open = [...running.live.state().errands.values()].find(e => e.is === 'assigned')!
    expect(await desk.command('GiveBackErrand', { errand: open.id, why: 'sent by mistake' })).toMatchObject({
      ok: true,
    })
    await desk.command('GiveBackErrand', { errand: await sendTo('E-02', undefined, 'R-2') })
  })

  it('P14: is no other rover’s to move, and rovers send nobody', async () => {
    const id = await sendTo('E-03')
    const two = await connectBoard(running, TWO)
    await two.snapshot()
    for (const kind of ['AcceptErrand', 'SetOut', 'ArriveOnSite', 'GiveBackErrand'] as const)
      expect(await two.command(kind, { errand: id })).toMatchObject({
        ok: false,
        refusal: { reason: 'not-yours' },
      })
    expect(await two.command('SendRover', { rover: 'R-2', precinct: 'E-01' })).toMatchObject({
      ok: false,
      refusal: { reason: 'not-allowed' },
    })
    two.close()
    expect(errand(id).is).toBe('assigned')
    expect(await desk.command('ArriveOnSite', { errand: id })).toMatchObject({ ok: true })
    expect(await desk.command('FinishErrand', { errand: id })).toMatchObject({ ok: true })
  })

  it('that the desk took back meanwhile is refused to the rover, in words', async () => {
    const id = await sendTo('E-03')
    await desk.command('GiveBackErrand', { errand: id })
    expect(await rover.command('SetOut', { errand: id })).toEqual({
      ok: false,
      refusal: { reason: 'other-state', message: 'this errand is given back already' },
    })
  })

  it('P2: a step whose answer was lost is not taken twice, and counts when it was pressed', async () => {
    const id = await sendTo('E-03')
    const tap = randomUUID()
    const pressed = running.clock.now()
    await rover.command('SetOut', { errand: id, agoSeconds: 1 }, tap)
    const at = errand(id).onTheWayAt!
    expect(at).toBeLessThanOrEqual(pressed)
    expect(at).toBeGreaterThanOrEqual(errand(id).assignedAt)
    expect(await rover.command('SetOut', { errand: id, agoSeconds: 40 }, tap)).toMatchObject({ ok: true })
    expect(errand(id).onTheWayAt).toBe(at)
    expect(await rover.command('ArriveOnSite', { errand: id, agoSeconds: 99_999 })).toMatchObject({
      ok: false,
      refusal: { reason: 'invalid' },
    })
    await desk.command('GiveBackErrand', { errand: id })
  })

  it('P4: reaches boards by patches that carry only what changed, and marks the visit at every precinct of the place', async () => {
    const patches: Array<{ errands?: Array<{ id: string }>; rows: Array<{ code: string }>; to: number }> = []
    // What was due before goes out before a fresh picture does.
    await rover.snapshot()
    rover.socket.on('patch', patch => patches.push(patch))
    const id = await sendTo('E-02')
    await desk.command('ArriveOnSite', { errand: id })
    await until('the arrival reaches the rover’s board', () =>
      patches.some(p => p.rows.some(r => r.code === 'E-01') && p.to >= errand(id).touchedAt),
    )
    const carried = patches.flatMap(p => p.errands ?? [])
    expect(new Set(carried.map(e => e.id))).toEqual(new Set([id]))
    const rows = patches.flatMap(p => p.rows).map(r => r.code)
    expect(rows).toContain('E-01')
    expect(rows).toContain('E-02')
    const { rows: whole, errands } = await desk.snapshot()
    expect(whole.find(r => r.code === 'E-01')!.strip.marks.at(-1)?.[0]).toBe('visit')
    expect(errands).toEqual([...running.live.state().errands.values()])
    await desk.command('FinishErrand', { errand: id, note: 'the fuse was replaced' })
    expect(errand(id).endedAt! - errand(id).onSiteAt!).toBeLessThan(60 * SECOND)
  })
})

test('a command that comes before its board on a new link is to be sent again, not wrong', async () => {
  const early = await connectBoard(running, ONE)
  expect(await early.command('AcceptErrand', { errand: 'e-none' })).toMatchObject({
    ok: false,
    refusal: { reason: 'unavailable' },
  })
  await early.snapshot()
  expect(await early.command('AcceptErrand', { errand: 'e-none' })).toMatchObject({
    ok: false,
    refusal: { reason: 'unknown-errand' },
  })
  early.close()
})

describe('what goes along with an errand', () => {
  it('is told to its rover: the place’s address, the desk’s words and number, every precinct of the place', async () => {
    const id = await sendTo('E-01', 'Bring the blue case.')
    const { status, body } = await asks(ONE)
    expect(status).toBe(200)
    const answer = errandsAnswer.parse(body)
    expect(answer.officePhone).toBe('555-0199')
    expect(answer.errands[0]).toMatchObject({
      id,
      what: 'Bring the blue case.',
      place: { name: 'Harbor Hall', address: '1 Quay', latitude: 41.5, longitude: -70.6 },
      precincts: [
        { code: 'E-01', name: 'Harbor' },
        { code: 'E-02', name: 'Mill' },
      ],
    })
    // Ended ones follow, with how they ended.
    expect(answer.errands.find(e => e.is === 'done' && e.end)?.end).toBe('the fuse was replaced')
    await desk.command('GiveBackErrand', { errand: id })
  })

  it('P14: tells a rover their own errands alone, one without a post none, the desk all, others nothing', async () => {
    const mine = await sendTo('E-01', 'for one')
    const theirs = await sendTo('E-03', 'for two', 'R-2')
    const ids = async (person: Person) =>
      errandsAnswer.parse((await asks(person)).body).errands.map(e => e.id)
    expect(await ids(ONE)).toContain(mine)
    expect(await ids(ONE)).not.toContain(theirs)
    expect(await ids(TWO)).toContain(theirs)
    expect(await ids(TWO)).not.toContain(mine)
    expect(await ids(UNPOSTED)).toEqual([])
    expect(await ids(IMRE)).toEqual(expect.arrayContaining([mine, theirs]))
    for (const role of ['receiving', 'admin'] as const)
      expect((await asks({ id: `p-${role}`, name: role, role })).status).toBe(403)
    expect((await asks(ONE, 'no-such-day')).status).toBe(404)
    const text = JSON.stringify((await asks(ONE)).body)
    for (const contact of ['555-0101', '555-0102', 'Lead one']) expect(text).not.toContain(contact)
    for (const id of [mine, theirs]) await desk.command('GiveBackErrand', { errand: id })
  })

  it('words that were erased are gone from it, and the errand stands', async () => {
    const id = await sendTo('E-01', 'words that must go')
    await running.sunup.log.erase(running.day, errand(id).position, 'asked for', 'p-imre')
    const { body } = await asks(ONE)
    const found = errandsAnswer.parse(body).errands.find(e => e.id === id)!
    expect(found.what).toBeUndefined()
    expect(found.is).toBe('assigned')
    await desk.command('GiveBackErrand', { errand: id })
  })
})
