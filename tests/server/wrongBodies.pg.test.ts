import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { aPlan } from '../support/aPlan.ts'
import { freshDatabase } from '../support/database.ts'
import { type SetupServer, setupServer } from '../support/setupServer.ts'

/** What a person or a program is told whose message is wrong: asked over HTTP, of the whole server. */
let server: SetupServer
let day: string
let keys: Record<'admin' | 'desk' | 'device' | 'nobody', string | undefined>
beforeAll(async () => {
  server = await setupServer({ url: await freshDatabase() })
  day = await server.keep(aPlan({ kind: 'election', date: '2026-06-02' }))
  await server.post(`setup/days/${day}/open`, {})
  const code = await server.sunup.access.issueCode(day, 'E-01')
  const { json } = await server.post('enrol', { code }, '')
  keys = { admin: undefined, desk: await server.tokenOf('desk'), device: json.key, nobody: '' }
})
afterAll(() => server?.stop())

const LIBRARY = /Invalid input|Too small|Too big|Unrecognized key/
const id = '7c9e6679-7425-40de-944b-e07fc1f90ae7'
const said = (number: number, body: unknown) => ({
  sentAt: '2026-06-02T10:00:00Z',
  reports: [{ number, at: '2026-06-02T10:00:00Z', kind: 'LineReported', body }],
})

type Wrong = [who: keyof typeof keys, route: string, body: unknown, path: string, message: string]
const table: Wrong[] = [
  ['nobody', 'enrol', {}, 'code', 'must be given'],
  ['nobody', 'enrol', { code: 7 }, 'code', 'text in quotation marks, not a number'],
  ['admin', 'setup/people', [], '', 'an object in braces { }, not a list'],
  ['admin', 'setup/days/DAY/close', { confirm: 'DAY', sure: true }, '', 'unknown: sure'],
  ['admin', 'setup/days/DAY/revoke', {}, 'device', 'must be given'],
  ['admin', 'setup/days/DAY/revoke', { device: 'x'.repeat(61) }, 'device', 'at most 60 characters, not 61'],
  ['admin', 'setup/days/DAY/codes', { precincts: 'E-01' }, 'precincts', 'a list in brackets [ ], not text'],
  ['admin', 'setup/plans', { files: 1 }, 'files', 'a list in brackets [ ], not a number'],
  ['desk', 'days/DAY/commands', 'x', '', 'an object in braces { }, not text'],
  ['desk', 'days/DAY/commands', { id, kind: 'TakeCall', body: {} }, 'body.precincts', 'must be given'],
  ['device', 'reports', { sentAt: '2026-06-02T10:00:00Z' }, 'reports', 'must be given'],
  [
    'device',
    'reports',
    said(1, { inLine: '3' }),
    'body.inLine',
    'a number without quotation marks, not text',
  ],
  ['device', 'reports', said(2, { inLine: -3 }), 'body.inLine', 'at least 0'],
  ['device', 'heartbeat', { sentAt: [] }, 'sentAt', 'text in quotation marks, not a list'],
]

/** The problems of an answer, wherever its route puts them. */
// biome-ignore lint/suspicious/noExplicitAny: what was answered is what the test looks at
const problemsIn = (json: any) => json.problems ?? json.refusal?.problems ?? json.refused?.[0]?.problems

describe('a wrong message', () => {
  it.each(table)('of %s to %s, %j, is told its field, what was found and what would do', async (...row) => {
    const [who, route, body, path, message] = row
    const { json } = await server.post(route.replace('DAY', day), body, keys[who])
    expect(problemsIn(json) ?? json).toContainEqual({ path, message })
    expect(JSON.stringify(json)).not.toMatch(LIBRARY)
  })
})
