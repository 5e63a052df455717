import type { Access } from '../../server/access/access.ts'
import type { Role } from '../../server/protocol/roles.ts'

/** Whom each route of the server is for, said a second time: a route without a line here fails the test. */
const everybody = ['desk', 'rover', 'supervisor', 'receiving', 'admin'] as const
const onBoards = ['desk', 'rover', 'supervisor', 'admin'] as const
const desk = ['desk', 'supervisor'] as const
const admin = ['admin'] as const

export const routeTable: Readonly<Record<string, 'anyone' | ReadonlyArray<Role | 'device'>>> = {
  'GET /healthz': 'anyone',
  'GET /readyz': 'anyone',
  'GET /metrics': 'anyone',
  'GET /enter': 'anyone',
  'POST /enter': 'anyone',
  'POST /enter/password': 'anyone',
  'GET /sign-in': 'anyone',
  'POST /sign-in': 'anyone',
  'POST /leave': 'anyone',
  'GET /api/v1/openapi.json': 'anyone',
  'GET /api/v1/asyncapi.json': 'anyone',

  'POST /api/v1/enrol': 'anyone',
  'POST /api/v1/reports': ['device'],
  'POST /api/v1/heartbeat': ['device'],
  'GET /api/v1/device': ['device'],

  'GET /api/v1/days': everybody,
  'GET /api/v1/days/:day/board': everybody,
  'GET /api/v1/days/:day/calls': onBoards,
  'GET /api/v1/days/:day/log': everybody,
  'GET /api/v1/days/:day/precincts/:code': onBoards,
  'GET /api/v1/days/:day/precincts/:code/aside': desk,
  'GET /api/v1/days/:day/precincts/:code/forecast': onBoards,
  'GET /api/v1/days/:day/forecasts': onBoards,
  'GET /api/v1/days/:day/phones': desk,
  'GET /api/v1/days/:day/errands': ['rover', 'desk', 'supervisor'],
  'GET /api/v1/days/:day/devices': ['desk', 'supervisor', 'admin'],
  'GET /api/v1/days/:day/precincts/:code/custody': desk,
  'GET /api/v1/days/:day/notices': desk,
  'GET /api/v1/days/:day/notices/:position': desk,
  'GET /api/v1/days/:day/returns': ['receiving', 'desk', 'supervisor'],
  'POST /api/v1/days/:day/commands': everybody,

  'GET /api/v1/review': ['supervisor', 'admin'],
  'GET /api/v1/days/:day/marks': ['supervisor', 'admin'],
  'GET /api/v1/days/:day/state': ['supervisor', 'admin'],

  'GET /api/v1/setup/days': admin,
  'GET /api/v1/setup/days/:day/plan': admin,
  'GET /api/v1/setup/days/:day/refused': admin,
  'POST /api/v1/setup/plans': admin,
  'POST /api/v1/setup/days/:day/open': admin,
  'POST /api/v1/setup/days/:day/practise': admin,
  'POST /api/v1/setup/days/:day/speed': admin,
  'POST /api/v1/setup/days/:day/fault': admin,
  'POST /api/v1/setup/days/:day/close': admin,
  'POST /api/v1/setup/days/:day/codes': admin,
  'POST /api/v1/setup/days/:day/revoke': admin,
  'GET /api/v1/setup/backups': admin,
  'GET /api/v1/setup/people': admin,
  'GET /api/v1/setup/people/changes': admin,
  'POST /api/v1/setup/people': admin,
  'POST /api/v1/setup/people/:person': admin,
  'POST /api/v1/setup/people/:person/link': admin,
  'GET /api/v1/setup/tokens': admin,
  'POST /api/v1/setup/tokens': admin,
  'POST /api/v1/setup/tokens/:token/end': admin,
}

/** Every way in which somebody's sessions end. */
export const people: ReadonlyArray<
  [what: string, end: (access: Access, id: string, session: string) => Promise<unknown>]
> = [
  ['role is changed', (access, id) => access.changeAccount(id, { role: 'rover' }, 'person-odile')],
  ['account is switched off', (access, id) => access.changeAccount(id, { off: true }, 'person-odile')],
  [
    'password is changed',
    async (access, id) => {
      const link = await access.linkFor(id, 'password', 'person-odile')
      return access.setPassword(link!.secret, 'a ferry leaves at nine tomorrow')
    },
  ],
  ['session is ended by signing out', (access, _id, session) => access.endSession(session)],
]
