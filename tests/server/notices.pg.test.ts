import { afterAll, beforeAll, describe, expect, it, test } from 'vitest'
import type { Person } from '../../server/access/access.ts'
import { fromRfc3339 } from '../../server/domain/time.ts'
import type { Patch } from '../../server/protocol/board.ts'
import { custodyAnswer } from '../../server/protocol/custody.ts'
import type { DevicePlan, Notice } from '../../server/protocol/device.ts'
import { noticeAnswer, noticesAnswer } from '../../server/protocol/notices.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import {
  connectBoard,
  connectDevice,
  enrolDevice,
  IMRE,
  type RunningSunup,
  runSunup,
  type TestBoard,
  type TestDevice,
  until,
} from '../support/runSunup.ts'
import { signedIn } from '../support/signedIn.ts'

/** Notices and custody through the whole server: sent by the desk, over real sockets to tablets, and back to boards. */
let running: RunningSunup
let desk: TestBoard
const patches: Patch[] = []
const tablets: TestDevice[] = []
const NELL: Person = { id: 'p-nell', name: 'Nell', role: 'receiving' }

beforeAll(async () => {
  running = await runSunup({
    url: await freshDatabase(),
    plan: aPlan(),
    startAt: fromRfc3339('2026-11-03T15:00:00Z'),
  })
  desk = await connectBoard(running)
  desk.socket.on('patch', (patch: Patch) => patches.push(patch))
  await desk.snapshot()
})
afterAll(async () => {
  for (const tablet of tablets) tablet.close()
  desk?.close()
  await running?.stop()
})

/** A tablet whose `plan` and `notice` are written down from its first moment. */
async function tablet(precinct: string) {
  const key = await enrolDevice(running, precinct)
  const device = await connectDevice(running.url, key)
  tablets.push(device)
  const notices: Notice[] = []
  const plans: DevicePlan[] = []
  device.socket.on('notice', (one: Notice) => notices.push(one))
  device.socket.on('plan', (one: DevicePlan) => plans.push(one))
  return { ...device, key, notices, plans }
}

async function send(text: string, to?: string[], acknowledge = true): Promise<number> {
  const answer = await desk.command('SendNotice', { ...(to ? { to } : {}), text, acknowledge })
  if (!answer.ok) throw new Error(answer.refusal.message)
  return running.live.state().notices.at(-1)!.position
}

async function asks(path: string, person: Person = IMRE) {
  const headers = await signedIn(running.sunup.access, running.url, person)
  const response = await fetch(`${running.url}/api/v1/days/${running.day}${path}`, { headers })
  return { status: response.status, body: await response.json() }
}

const onBoard = (position: number) =>
  patches
    .flatMap(p => p.notices ?? [])
    .filter(n => n.position === position)
    .at(-1)

describe('a notice', () => {
  test('P14: reaches the tablets of the precincts that it is to, and no others', async () => {
    const [one, two] = [await tablet('E-01'), await tablet('E-02')]
    const position = await send('Ferry runs an hour late.', ['E-01'])
    const all = await send('Rain until four.', undefined, false)
    await until('both have the one to all', () => one.notices.length === 2 && two.notices.length === 1)
    expect(one.notices[0]).toMatchObject({
      id: position,
      text: 'Ferry runs an hour late.',
      acknowledge: true,
    })
    expect(two.notices.map(n => n.id)).toEqual([all])
  })

  it('is in the plan of a tablet that links up later, and read once its precinct says so; the board shows it', async () => {
    const position = await send('Bring the spare tape.', ['E-02', 'E-03'])
    await until('the board has it', () => onBoard(position)?.of === 2)
    const late = await tablet('E-03')
    const planOf = async (key: string) => {
      const response = await fetch(`${running.url}/api/v1/device`, {
        headers: { Authorization: `Bearer ${key}` },
      })
      return ((await response.json()) as DevicePlan).notices.find(n => n.id === position)
    }
    expect(await planOf(late.key)).toMatchObject({ text: 'Bring the spare tape.', read: false })
    expect(await late.say(1, 'NoticeAcknowledged', { notice: position })).toMatchObject({ ok: true })
    await until('the board shows that one read it', () => onBoard(position)?.read === 1)
    expect(await planOf(late.key)).toMatchObject({ read: true })
    late.socket.disconnect().connect()
    await until('its link is back, and the notice in the plan', () =>
      late.plans.some(plan => plan.notices.some(n => n.id === position && n.read)),
    )
    expect(noticeAnswer.parse((await asks(`/notices/${position}`)).body)).toMatchObject({
      of: 2,
      readBy: [{ precinct: 'E-03' }],
      unread: ['E-02'],
    })
  })

  it('is said to be read by telephone for a precinct, which its own tablet is told', async () => {
    const own = await tablet('E-02')
    const position = await send('Call when the line is gone.', ['E-02'])
    const answer = await desk.command('RecordReports', {
      precinct: 'E-02',
      via: 'caller',
      spoke: 'precinct lead',
      reports: [{ kind: 'NoticeAcknowledged', body: { notice: position } }],
    })
    expect(answer).toMatchObject({ ok: true })
    await until(
      'its tablet knows',
      () => own.plans.at(-1)?.notices.find(n => n.id === position)?.read === true,
    )
    await until('the board knows', () => onBoard(position)?.read === 1)
  })

  it('is listed with its words, the latest first; erased words are gone from the list and from tablets', async () => {
    const linked = await tablet('E-01')
    const position = await send('The words of this one go.')
    await until('a tablet has it', () => linked.notices.some(n => n.id === position))
    const listed = () => asks('/notices').then(a => noticesAnswer.parse(a.body).notices)
    expect((await listed())[0]).toMatchObject({
      position,
      by: 'Imre',
      to: null,
      text: 'The words of this one go.',
    })
    expect(await running.sunup.log.erase(running.day, position, 'a test', 'p-imre')).toBe(true)
    expect((await listed())[0]).toMatchObject({ position, text: null })
    expect(running.live.notices.ofPrecinct('E-01').map(n => n.id)).not.toContain(position)
    await until('a tablet that is linked up has it no more', () => {
      const notices = linked.plans.at(-1)!.notices
      return notices.length > 0 && notices.every(n => n.id !== position)
    })
    const snapshot = await desk.snapshot()
    expect(snapshot.notices.at(-1)).toMatchObject({ position, toAll: true, of: 3, read: 0 })
  })

  it('is refused to a precinct that the plan doesn’t have, and without words', async () => {
    expect(
      await desk.command('SendNotice', { to: ['E-99'], text: 'hello', acknowledge: false }),
    ).toMatchObject({
      ok: false,
      refusal: { reason: 'unknown-precinct' },
    })
    expect(await desk.command('SendNotice', { text: '  ', acknowledge: false })).toMatchObject({
      ok: false,
      refusal: { reason: 'invalid' },
    })
    expect((await asks('/notices/999999')).status).toBe(404)
    expect((await asks('/notices/first')).status).toBe(404)
  })
})

describe('two tablets of one precinct', () => {
  it('each hears what the other said, gathered, and its own words cost no plan', async () => {
    const [one, two] = [await tablet('E-02'), await tablet('E-02')]
    await one.say(1, 'LineReported', { inLine: 1 })
    await two.say(1, 'LineReported', { inLine: 700 })
    await until('the first one knows of the other’s', () => one.plans.at(-1)?.has.inLine === 700)
    const [ofOne, ofTwo, from] = [one.plans.length, two.plans.length, performance.now()]
    for (let i = 2; i <= 21; i++) await one.say(i, 'LineReported', { inLine: i })
    await until('the other has the last', () => two.plans.at(-1)!.has.inLine === 21)
    const seconds = Math.ceil((performance.now() - from) / 1_000)
    expect(two.plans.length - ofTwo).toBeLessThanOrEqual(seconds + 1)
    expect(one.plans.length).toBe(ofOne)
    await two.say(2, 'EmergencySlotOpened', {})
    await until('the first one knows of the slot', () => one.plans.at(-1)!.has.slotOpen)
  })
})

describe('the chain of custody', () => {
  test('P14: tells the desk every seal, and a receiving clerk none', async () => {
    const one = await tablet('E-01')
    const said = { container: 'box', state: 'intact' }
    await one.say(1, 'SealRecorded', { ...said, found: 'S-01-box', act: 'removed' })
    await one.say(2, 'SealRecorded', { ...said, found: 'M-7', act: 'applied' })
    const { body } = await asks('/precincts/E-01/custody')
    const [box, door] = custodyAnswer.parse(body).containers
    expect(box).toMatchObject({
      container: 'box',
      planned: 'S-01-box',
      wrong: false,
      openSince: null,
      gaps: [],
    })
    expect(box!.links.map(l => [l.act, l.number])).toEqual([
      ['removed', 'S-01-box'],
      ['applied', 'M-7'],
    ])
    expect(door).toMatchObject({ links: [], gaps: ['not-looked-at'] })
    expect((await asks('/precincts/E-01/custody', NELL)).status).toBe(403)
    expect((await asks('/notices', NELL)).status).toBe(403)
    expect((await asks('/precincts/E-99/custody')).status).toBe(404)
  })
})
