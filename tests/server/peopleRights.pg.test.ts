import { randomUUID } from 'node:crypto'
import { io } from 'socket.io-client'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { SubscribeAnswer } from '../../server/protocol/board.ts'
import { type CommandKind, commandBodies } from '../../server/protocol/command.ts'
import { commandRoles, type GuardedPage, pageRoles, type Role, roles } from '../../server/protocol/roles.ts'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { enrolDevice, type RunningSunup, runSunup } from '../support/runSunup.ts'
import { people, routeTable } from './peopleTable.ts'

/**
 * P14 on the real server: every role, nobody, and a device, against every route, command and page. Sessions are
 * begun by real links, tokens are real. The expected lines stand in peopleTable.ts and say each role again, so that
 * a change of server/protocol/roles.ts shows here.
 */
const DESK = ['desk', 'supervisor'] as const
const pageTable: Record<GuardedPage, readonly Role[]> = {
  '/desk': ['desk', 'supervisor', 'rover', 'admin'],
  '/desk/sheet': ['desk', 'supervisor', 'rover', 'admin'],
  '/desk/shift': DESK,
  '/rover': ['rover'],
  '/receiving': ['receiving', 'desk', 'supervisor'],
  '/review': ['supervisor', 'admin'],
  '/setup': ['admin'],
}
const errands = ['rover', 'desk', 'supervisor'] as const
const nothingAside = { device: 'd-nobody', number: 1, content: 1 }
const commandTable: Record<CommandKind, { roles: readonly Role[]; body: Record<string, unknown> }> = {
  TakeCall: { roles: DESK, body: { precincts: ['E-01'] } },
  HandOverCall: { roles: DESK, body: { precincts: ['E-01'] } },
  LogCall: { roles: DESK, body: { precincts: ['E-01'], outcome: 'solved' } },
  DeferCall: { roles: DESK, body: { precincts: ['E-01'], until: '2026-11-03T20:00:00Z' } },
  AddNote: { roles: DESK, body: { precinct: 'E-01', note: 'quinces by the side door' } },
  SendNotice: { roles: DESK, body: { to: ['E-01'], text: 'quinces at noon', acknowledge: true } },
  RecordReports: {
    roles: DESK,
    body: {
      precinct: 'E-01',
      via: 'caller',
      spoke: 'precinct lead',
      reports: [{ kind: 'PollsOpened', body: {} }],
    },
  },
  IssueCode: { roles: ['desk', 'supervisor', 'admin'], body: { precinct: 'E-01' } },
  RevokeDevice: { roles: ['desk', 'supervisor', 'admin'], body: { device: 'd-nobody' } },
  AcceptAside: { roles: DESK, body: { precinct: 'E-01', reports: [nothingAside] } },
  LeaveAside: { roles: DESK, body: { precinct: 'E-01', reports: [nothingAside] } },
  SendRover: { roles: DESK, body: { rover: 'R-1', precinct: 'E-02', what: 'quinces for the team' } },
  AcceptErrand: { roles: errands, body: { errand: 'none' } },
  SetOut: { roles: errands, body: { errand: 'none' } },
  ArriveOnSite: { roles: errands, body: { errand: 'none' } },
  FinishErrand: { roles: errands, body: { errand: 'none' } },
  GiveBackErrand: { roles: errands, body: { errand: 'none' } },
  CheckInReturn: {
    roles: ['receiving', 'desk', 'supervisor'],
    body: { precinct: 'E-03', items: [], seals: [], carriers: 2 },
  },
}

const CONTACT = { precinct: 'E-01', role: 'precinct lead', name: 'Wilhelmina Quayle', phone: '555-0141' }
const PLACE_PHONE = '555-0162'
const ROVER_PHONE = '555-0163'

let running: RunningSunup
let device: string
const sessions = {} as Record<Role, string>
const tokens = {} as Record<Role, string>

beforeAll(async () => {
  const base = aPlan()
  const plan = aPlan({
    contacts: [CONTACT],
    places: base.places.map((place, i) => (i === 0 ? { ...place, phone: PLACE_PHONE } : place)),
    rovers: [{ code: 'R-1', name: 'Ana', phone: ROVER_PHONE, base: 'PL-01', skills: [] }],
  })
  running = await runSunup({ url: await freshDatabase(), plan })
  device = await enrolDevice(running, 'E-01')
  for (const role of roles) {
    const person = { id: `p-${role}`, name: `The ${role}`, role, post: role === 'rover' ? 'R-1' : null }
    const link = await running.sunup.access.makeLink(person, 60_000)
    const entered = await fetch(`${running.url}/enter`, {
      method: 'POST',
      redirect: 'manual',
      headers: { Origin: running.url, 'Content-Type': 'application/x-www-form-urlencoded' },
      body: new URLSearchParams({ key: link }),
    })
    sessions[role] = entered.headers.getSetCookie()[0]!.split(';')[0]!
    // One of an administrator can't be asked for: it is made here as the demo makes its own, and is good for nothing.
    tokens[role] = await running.sunup.access.makeToken({ ...person, id: `p-${role}-program` })
  }
})
afterAll(() => running.stop())

const pathOf = (pattern: string) =>
  pattern
    .replace(':code', 'E-01')
    .replace(/^(\/api\/v1\/days\/):day/, `$1${running.day}`)
    .replace(/:\w+/g, 'none')

const credentials = (who: Role | 'nobody' | 'device', by: 'cookie' | 'token'): Record<string, string> => {
  if (who === 'nobody') return {}
  if (who === 'device') return { Authorization: `Bearer ${device}` }
  return by === 'cookie' ? { Cookie: sessions[who] } : { Authorization: `Bearer ${tokens[who]}` }
}

const ask = (method: string, path: string, headers: Record<string, string>, body: unknown = {}) =>
  fetch(running.url + path, {
    method,
    redirect: 'manual',
    headers: { Origin: running.url, 'Content-Type': 'application/json', ...headers },
    ...(method === 'POST' ? { body: JSON.stringify(body) } : {}),
  })

describe('who may do what', () => {
  it('P14 has a line in the table for every route, and no line for a route that is not there', () => {
    const there = running.sunup.routes.map(({ method, pattern }) => `${method} ${pattern}`)
    expect(Object.keys(routeTable).sort()).toEqual([...there].sort())
  })

  it('P14 answers every role, nobody and a device on every route with the right status, by session and by token', async () => {
    const wrong: string[] = []
    for (const [line, may] of Object.entries(routeTable)) {
      if (may === 'anyone') continue
      const [method = '', pattern = ''] = line.split(' ')
      for (const who of ['nobody', 'device', ...roles] as const)
        for (const by of ['cookie', 'token'] as const) {
          const answer = await ask(method, pathOf(pattern), credentials(who, by))
          const isNobody = who === 'nobody' || (who === 'admin' && by === 'token')
          const allowed = !isNobody && (may as readonly string[]).includes(who)
          const known =
            !isNobody && (who === 'device' ? may.includes('device') : may.some(m => m !== 'device'))
          const refused = known ? 403 : 401
          const fits = allowed ? ![401, 403].includes(answer.status) : answer.status === refused
          if (!fits) wrong.push(`${line} ${who} by ${by}: ${answer.status}`)
          await answer.arrayBuffer()
        }
    }
    expect(wrong).toEqual([])
  })

  it('P14 says of a route for anyone that it is for anyone, and of no other', () => {
    const open = running.sunup.routes
      .filter(({ who }) => who === 'anyone')
      .map(r => `${r.method} ${r.pattern}`)
    const said = Object.entries(routeTable).filter(([, may]) => may === 'anyone')
    expect(open.sort()).toEqual(said.map(([line]) => line).sort())
  })

  it('P14 takes no write by a session from a page of another site, on any route', async () => {
    const wrong: string[] = []
    for (const { method, pattern, who } of running.sunup.routes) {
      if (method !== 'POST') continue
      const role = who === 'anyone' ? 'admin' : who.find(one => one !== 'device')
      if (role === undefined || pattern === '/api/v1/enrol') continue
      const headers = { Cookie: sessions[role], Origin: 'https://elsewhere.example' }
      const answer = await ask(method, pathOf(pattern), headers)
      if (answer.status !== 403) wrong.push(`${pattern}: ${answer.status}`)
    }
    expect(wrong).toEqual([])
  })

  it('P14 lets each role give the commands of its own and no other, and device and nobody none', async () => {
    expect(Object.keys(commandTable).sort()).toEqual(Object.keys(commandBodies).sort())
    const wrong: string[] = []
    for (const [kind, { roles: may, body }] of Object.entries(commandTable)) {
      for (const role of roles) {
        const command = { id: randomUUID(), kind, body }
        const answer = await ask(
          'POST',
          pathOf('/api/v1/days/:day/commands'),
          credentials(role, 'cookie'),
          command,
        )
        const { ok, refusal } = (await answer.json()) as { ok: boolean; refusal?: { reason: string } }
        const refused = !ok && refusal?.reason === 'not-allowed' && answer.status === 403
        if (may.includes(role) === refused) wrong.push(`${kind} ${role}: ${answer.status} ${refusal?.reason}`)
      }
      expect(commandBodies[kind as CommandKind].safeParse(body).success, `${kind} is asked rightly`).toBe(
        true,
      )
      expect(commandRoles[kind as CommandKind], kind).toEqual(may)
    }
    expect(wrong).toEqual([])
  })

  it('P14 gives every page the status of its table: 401 to nobody, 403 to other roles', async () => {
    expect(Object.keys(pageTable).sort()).toEqual(Object.keys(pageRoles).sort())
    const wrong: string[] = []
    for (const [page, may] of Object.entries(pageTable))
      for (const path of [page, `${page}/below?day=x`])
        for (const who of ['nobody', 'device', ...roles] as const) {
          const { status } = await ask('GET', path, credentials(who, 'cookie'))
          const isRole = (roles as readonly string[]).includes(who)
          // No pages are served here: 404 is what an allowed one comes to.
          const wants = !isRole ? 401 : (may as readonly string[]).includes(who) ? 404 : 403
          if (status !== wants) wrong.push(`${path} ${who}: ${status}`)
        }
    expect(wrong).toEqual([])
  })
})

describe('a token of an administrator', () => {
  it('P14 is good for nothing, neither on a route nor on a socket, and says what to do instead', async () => {
    const answer = await ask('GET', '/api/v1/setup/people', credentials('admin', 'token'))
    expect(answer.status).toBe(401)
    expect(await answer.text()).toMatch(/administrator’s: none acts as one. An administrator signs in/)
    const socket = io(`${running.url}/board`, {
      auth: { token: tokens.admin },
      transports: ['websocket'],
      forceNew: true,
      reconnection: false,
    })
    const refused = await new Promise<Error>(resolve => void socket.once('connect_error', resolve))
    expect(refused.message).toBe('not-signed-in')
    socket.disconnect()
  })

  it('P14 can’t be asked for: the field is named, and what would do', async () => {
    const answer = await ask('POST', '/api/v1/setup/tokens', credentials('admin', 'cookie'), {
      label: 'wall display',
      role: 'admin',
    })
    expect(answer.status).toBe(400)
    expect(await answer.json()).toEqual({
      ok: false,
      problems: [
        {
          path: 'role',
          message:
            'no token acts as an administrator: choose desk, rover, supervisor, receiving; an administrator signs in',
        },
      ],
    })
  })

  it('P14 ends to act where the role of its person becomes that of an administrator', async () => {
    const { access } = running.sunup
    const person = { id: 'p-rising', name: 'Rising', role: 'desk' } as const
    const token = await access.makeToken(person)
    expect(await access.personOfToken(token)).toMatchObject({ role: 'desk' })
    expect(await access.changeAccount(person.id, { role: 'admin' }, 'p-admin')).toEqual({ ok: true })
    expect(await access.personOfToken(token)).toBeNull()
  })
})

describe('personal data', () => {
  const seen = (text: string) => ({
    contact: text.includes(CONTACT.name) || text.includes(CONTACT.phone) || text.includes(PLACE_PHONE),
    rover: text.includes(ROVER_PHONE),
    words: text.includes('quinces'),
  })

  beforeAll(async () => {
    const path = pathOf('/api/v1/days/:day/commands')
    for (const kind of ['AddNote', 'SendNotice'] as const) {
      const said = await ask('POST', path, credentials('desk', 'token'), {
        id: randomUUID(),
        kind,
        body: commandTable[kind].body,
      })
      expect(said.status).toBe(200)
    }
  })

  it('P14 is in no answer of a GET route to a role that does not need it', async () => {
    const wrong: string[] = []
    let somebodySaw = { contact: 0, rover: 0, words: 0 }
    for (const line of Object.keys(routeTable)) {
      const [method = '', pattern = ''] = line.split(' ')
      if (method !== 'GET') continue
      for (const who of ['nobody', 'device', ...roles] as const) {
        const path = pathOf(pattern.replace('/setup/days/:day', `/setup/days/${running.day}`))
        const asked = pattern.endsWith('/state')
          ? `${path}?at=${new Date(running.clock.now()).toISOString()}&view=known`
          : path
        const text = await (await ask('GET', asked, credentials(who, 'cookie'))).text()
        const found = seen(text)
        // A precinct's own tablet has the numbers to ring, without names, and the notices to it.
        if (who === 'device' && pattern === '/api/v1/device') {
          expect(text).toContain(CONTACT.phone)
          for (const other of [CONTACT.name, PLACE_PHONE, 'side door']) expect(text).not.toContain(other)
          continue
        }
        const makesCalls = who === 'desk' || who === 'supervisor'
        if (found.contact && !makesCalls) wrong.push(`${line} ${who}: a contact`)
        if (found.rover && !makesCalls && who !== 'rover') wrong.push(`${line} ${who}: a rover's telephone`)
        // A rover reads the words of the errands, which are written for them.
        if (found.words && !makesCalls && !(who === 'rover' && pattern.endsWith('/errands')))
          wrong.push(`${line} ${who}: somebody's words`)
        somebodySaw = {
          contact: somebodySaw.contact + Number(found.contact),
          rover: somebodySaw.rover + Number(found.rover),
          words: somebodySaw.words + Number(found.words),
        }
      }
    }
    expect(wrong).toEqual([])
    expect(somebodySaw.contact).toBeGreaterThan(0)
    expect(somebodySaw.words).toBeGreaterThan(0)
  })

  it('P14 is in no board of a role that does not need it', async () => {
    for (const role of roles) {
      const board = await subscribed(role)
      const found = seen(board)
      expect(found, role).toEqual({
        contact: false,
        rover: ['desk', 'supervisor', 'rover'].includes(role),
        words: false,
      })
    }
  })

  async function subscribed(role: Role): Promise<string> {
    const socket = io(`${running.url}/board`, {
      ...(role === 'admin'
        ? { extraHeaders: { Cookie: sessions.admin, Origin: running.url } }
        : { auth: { token: tokens[role] } }),
      transports: ['websocket'],
      forceNew: true,
    })
    try {
      const answer = (await socket
        .timeout(10_000)
        .emitWithAck('subscribe', { day: running.day })) as SubscribeAnswer
      expect(answer.ok && 'snapshot' in answer).toBe(true)
      return JSON.stringify(answer)
    } finally {
      socket.disconnect()
    }
  }
})

describe('sessions that end', () => {
  it.each(people)('P14 closes the open board of somebody whose %s', async (_what, end) => {
    const { access } = running.sunup
    const nell = { name: 'Nell', email: `${randomUUID()}@office.example`, role: 'desk' } as const
    const made = await access.invite(nell, 'person-odile')
    if (!made.ok) throw new Error('not invited')
    const { person: id } = made.link
    const set = await access.setPassword(made.link.secret, 'seven herons over the marsh')
    if (!set.ok) throw new Error(set.reason)
    const open = () =>
      io(`${running.url}/board`, {
        extraHeaders: { Cookie: `sunup_session=${set.session}`, Origin: running.url },
        transports: ['websocket'],
        forceNew: true,
        reconnection: false,
      })
    const socket = open()
    await new Promise<void>((resolve, reject) => {
      socket.once('connect', () => resolve())
      socket.once('connect_error', reject)
    })
    const closed = new Promise<string>(resolve => void socket.once('disconnect', resolve))
    await end(access, id, set.session)
    expect(await closed).toBe('io server disconnect')
    const again = open()
    const refused = new Promise<Error>(resolve => void again.once('connect_error', resolve))
    expect((await refused).message).toBe('not-signed-in')
    again.disconnect()
  })
})
