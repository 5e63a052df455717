import { setTimeout as sleep } from 'node:timers/promises'
import pg from 'pg'
import postgres from 'postgres'
import type { Query, Rows } from './connect.ts'
import type { Presence } from './presence.ts'
import { isConnectionLost, isTransient } from './trouble.ts'

/**
 * The reading side: `postgres`, which prepares each statement once and sends many on one connection without
 * waiting. Single statements only. What it writes after an answer it writes a turn later, and where the connection
 * was lost in between (3.4.9), that is an uncaught TypeError that ends the server. So:
 * - never `begin`, `reserve` or a cursor: all of them speak again on a connection that they hold;
 * - never `fetch_types`: a connection lost during that question is a rejection that nobody can catch;
 * - a client that has lost a connection is replaced as a whole: a lost connection may keep half a message, with
 *   which its successor would begin and then wait for ever.
 */
export type Reader = Query & {
  /** For drizzle. A statement through it is sent once, whatever becomes of it. */
  client: postgres.Sql
  /** Asks again where the connection was lost: only for what may be done twice. */
  patiently<R>(ask: () => PromiseLike<R>): Promise<R>
  /** Ends what is open; what is still asked after `timeout` seconds (5 where none is said) is given up. */
  end(options?: { timeout?: number }): Promise<void>
}

/** Together about the time in which a killed database of ours is back. */
const PAUSES_MS = [50, 200, 500, 1_000, 1_500]
/** Trouble that took longer to show than this is no short wait any more: it is told. */
const PATIENCE_MS = 5_000
const CONNECT_S = 10
/**
 * A proxy whose database is away takes a connection and closes it, and the driver tries on in silence: a statement
 * without an answer for this long gives up its client. No statement of ours takes a tenth of it.
 */
const ANSWER_MS = 15_000
/** How long a replaced client may finish what it was asked. */
const RETIRE_S = 1

type ReaderOptions = { max: number; name: string; role?: string | undefined; presence: Presence }

/** A reader of at most `max` connections; none is opened before the first statement. */
export function openReader(url: string, options: ReaderOptions): Reader {
  const startup: Record<string, string> = { application_name: options.name }
  if (options.role) startup.role = options.role
  let current: postgres.Sql | null = null
  let ended = false
  const retiring = new Set<Promise<void>>()

  function client(): postgres.Sql {
    if (ended) throw Object.assign(new Error('the reader has ended'), { code: 'CONNECTION_ENDED' })
    if (current) return current
    const fresh = postgres({
      ...targetOf(url),
      max: options.max,
      connection: startup,
      types: TYPES,
      fetch_types: false,
      connect_timeout: CONNECT_S,
      idle_timeout: 60,
      onnotice: () => {},
      onclose: () => {
        if (current !== fresh) return
        retire(fresh, RETIRE_S)
        options.presence.lost()
      },
    })
    current = fresh
    return fresh
  }

  function retire(old: postgres.Sql, timeout: number): void {
    if (current === old) current = null
    const gone = old.end({ timeout }).finally(() => retiring.delete(gone))
    retiring.add(gone)
  }

  function watched<Q extends PromiseLike<unknown>>(of: postgres.Sql, query: Q): Q {
    const late = setTimeout(() => retire(of, 0), ANSWER_MS)
    const answered = () => clearTimeout(late)
    query.then(answered, answered)
    return query
  }

  async function patiently<R>(ask: () => PromiseLike<R>): Promise<R> {
    const start = performance.now()
    for (let tries = 0; ; tries++) {
      if (!(await options.presence.back(PATIENCE_MS))) throw isAway()
      try {
        return await ask()
      } catch (error) {
        if (isConnectionLost(error)) options.presence.lost()
        const pause = PAUSES_MS[tries]
        if (ended || pause === undefined || !isTransient(error)) throw error
        if (performance.now() - start > PATIENCE_MS) throw error
        await sleep(pause * (0.8 + 0.4 * Math.random()))
      }
    }
  }

  const ask = (query: (sql: postgres.Sql) => PromiseLike<unknown>) =>
    patiently(() => {
      const sql = client()
      return watched(sql, query(sql)) as PromiseLike<Rows<never>>
    })
  return Object.assign(
    (strings: TemplateStringsArray, ...values: unknown[]) => ask(sql => sql(strings, ...(values as never[]))),
    {
      unsafe: (text: string, values?: unknown[]) => ask(sql => sql.unsafe(text, values as never[])),
      client: {
        options: { parsers: {}, serializers: {} },
        unsafe: (...args: Parameters<postgres.Sql['unsafe']>) => {
          const sql = client()
          return watched(sql, sql.unsafe(...args))
        },
        begin: () => {
          throw new Error('the reader knows single statements only (db/reader.ts says why): make it one')
        },
      } as unknown as postgres.Sql,
      patiently,
      end: async ({ timeout = 5 }: { timeout?: number } = {}) => {
        ended = true
        if (current) retire(current, timeout)
        await Promise.all(retiring)
      },
    },
  )
}

function isAway(): Error {
  return Object.assign(new Error('the database is away'), { code: 'CONNECTION_CLOSED' })
}

/**
 * Bigints are positions, numbers and milliseconds, all below 2^53: they come as numbers. A date stays the text it
 * is. Arrays of text are said here because no types are fetched.
 */
const TYPES: Record<string, postgres.PostgresType> = {
  bigint: { to: 20, from: [20], parse: Number, serialize: String },
  date: { to: 1082, from: [1082], parse: (text: string) => text, serialize: (text: string) => text },
  texts: {
    to: 1009,
    from: [],
    parse: (text: string) => text,
    serialize: (texts: string[]) => `{${texts.map(quoted).join(',')}}`,
  },
}

function quoted(text: string): string {
  return `"${text.replace(/["\\]/g, '\\$&')}"`
}

/** The url as `pg` reads it (certificates, sockets, the environment), so that both go to the same place. */
function targetOf(url: string) {
  const { host, port, user, password, database, ssl } = new pg.Client({ connectionString: url }) as {
    host: string
    port: number
    user?: string
    password?: string | null
    database?: string
    ssl: boolean | { key?: string }
  }
  return {
    // Lists, which its types don't know: an IPv6 address in a text would be taken apart at its colons.
    host: [host] as unknown as string,
    port: [port] as unknown as number,
    ...(host.startsWith('/') ? { path: `${host}/.s.PGSQL.${port}` } : {}),
    ...(user === undefined ? {} : { user }),
    ...(database === undefined ? {} : { database }),
    password: password ?? '',
    // The key is hidden from copying there.
    ssl: typeof ssl === 'object' ? { ...ssl, ...(ssl.key ? { key: ssl.key } : {}) } : ssl,
  }
}
