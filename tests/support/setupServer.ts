import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { z } from 'zod'
import { connect } from '../../db/connect.ts'
import { planHash } from '../../server/cli/planFiles.ts'
import { composeSunup, type Sunup } from '../../server/compose.ts'
import type { Plan } from '../../server/domain/plan/plan.ts'
import { makeLog } from '../../server/log.ts'
import { keepPlan } from '../../server/openDay.ts'
import type { setupDay, TokenRole } from '../../server/protocol/setup.ts'
import { signedIn } from './signedIn.ts'

/** The whole server but its pages, with no day in it yet, asked as its administrator asks it: over HTTP. */
export type SetupServer = {
  sunup: Sunup
  url: string
  /** By a token, or as its administrator; '': as nobody. */
  get(path: string, as?: string): Promise<Told>
  post(path: string, body: unknown, as?: string): Promise<Told>
  /** A bearer token of a person of that role. */
  tokenOf(role: TokenRole): Promise<string>
  day(id: string): Promise<z.output<typeof setupDay>>
  /** Keeps a plan without the checker; its day's id. */
  keep(plan: Plan): Promise<string>
  stop(): Promise<void>
}
// biome-ignore lint/suspicious/noExplicitAny: what was answered is what the test looks at
type Told = { status: number; json: any }

export async function setupServer(options: {
  url: string
  keptFolder?: string
  wall?: () => number
  /** Then `get` and `post` don't reach it: they know no certificate of a test's. */
  tls?: { certFile: string; keyFile: string }
}): Promise<SetupServer> {
  const wall = options.wall ?? (() => Date.now())
  const sunup = await composeSunup({
    sql: connect(options.url, { max: 8 }),
    settings: {
      tls: options.tls ?? null,
      publicUrl: null,
      trustedProxies: 0,
      deviceRate: { perSecond: 500, burst: 20_000 },
      enrolRate: { perAddressPerMinute: 1_000, inAllPerMinute: 1_000 },
    },
    logger: makeLog('silent'),
    wall,
    pagesFolder: null,
    keptFolder: options.keptFolder ?? null,
    onAssertion: error => {
      throw error
    },
  })
  const resumed = await sunup.keeper.resume(null, () => {})
  if (!resumed.ok) throw new Error(JSON.stringify(resumed))
  const port = await sunup.listen(0, '127.0.0.1')
  const url = `${options.tls ? 'https' : 'http'}://127.0.0.1:${port}`
  const tokenOf = async (role: TokenRole) => {
    const person = { id: `test-${role}`, name: `A ${role}`, role }
    await sunup.access.addPerson(person)
    return sunup.access.makeToken(person)
  }
  const admin = await signedIn(sunup.access, url, { id: 'test-admin', name: 'An admin', role: 'admin' })
  const ask = async (path: string, init: RequestInit, as?: string): Promise<Told> => {
    const response = await fetch(`${url}/api/v1/${path}`, {
      ...init,
      headers: {
        ...(as === undefined ? admin : as === '' ? {} : { Authorization: `Bearer ${as}` }),
        'Content-Type': 'application/json',
      },
    })
    return { status: response.status, json: await response.json() }
  }
  const get: SetupServer['get'] = (path, as) => ask(path, {}, as)
  return {
    sunup,
    url,
    get,
    post: (path, body, as) => ask(path, { method: 'POST', body: JSON.stringify(body) }, as),
    tokenOf,
    day: async id => {
      const found = (await get('setup/days')).json.days.find((d: { id: string }) => d.id === id)
      if (!found) throw new Error(`no day ${id}`)
      return found
    },
    keep: async plan => {
      const keeping = await keepPlan(sunup.days, plan, planHash(plan), null)
      if (!keeping.ok) throw new Error(keeping.message)
      return keeping.id
    },
    stop: () => sunup.stop(),
  }
}

/** The files of a plan folder as they are uploaded; `change` may alter a file's text. */
export function uploadOf(dir: string, change: (name: string, text: string) => string = (_, text) => text) {
  return readdirSync(dir)
    .filter(name => /\.(csv|json)$/.test(name))
    .map(name => ({
      name,
      base64: Buffer.from(change(name, readFileSync(join(dir, name), 'utf8'))).toString('base64'),
    }))
}
