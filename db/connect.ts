import pg from 'pg'
import { type Presence, watchPresence } from './presence.ts'
import { openReader, type Reader } from './reader.ts'
import { isConnectionLost } from './trouble.ts'

/**
 * Connections to Postgres, by two drivers, each where it is good. `pg` for whatever holds a connection: the log
 * writer's transactions, the bell and the migrations. There `postgres` won't do: a connection lost between two
 * statements of a transaction ends the whole server by an uncaught TypeError in its delayed write (seen with 3.4.9,
 * connections killed under load). `postgres` for single statements: the `reader`.
 */

/** The role that the program runs as: it may add to the log and can't change it (db/migrations). */
export const APP_ROLE = 'sunup_app'

export type Rows<R> = R[] & { count: number }

/** Statements as tagged templates: what stands in `${}` travels as a parameter, never as text. */
export type Query = {
  // biome-ignore lint/suspicious/noExplicitAny: a statement whose rows are not read needs no type
  <T extends unknown[] = any[]>(strings: TemplateStringsArray, ...values: unknown[]): Promise<Rows<T[number]>>
  /** A statement as text; without values it may be several, divided by semicolons. */
  // biome-ignore lint/suspicious/noExplicitAny: as above
  unsafe<T extends unknown[] = any[]>(text: string, values?: unknown[]): Promise<Rows<T[number]>>
}
export type Tx = Query

export type Sql = Query & {
  /** Single statements outside transactions, asked again where a connection was lost (db/reader.ts). */
  reader: Reader
  /** Whether the database answers at all. */
  presence: Presence
  /** What the bell takes its settings from. */
  pool: pg.Pool
  /** Runs `work` in a transaction: committed when it resolves, rolled back when it rejects. */
  begin<R>(work: (tx: Tx) => Promise<R>): Promise<R>
  begin<R>(mode: string, work: (tx: Tx) => Promise<R>): Promise<R>
  /** Ends both; after `timeout` seconds also where connections are still used. */
  end(options?: { timeout?: number }): Promise<void>
}

/** Bigints are positions, numbers and milliseconds, all below 2^53: they come as numbers. */
const types: pg.CustomTypesConfig = {
  getTypeParser: ((oid: number, format?: 'text') =>
    oid === pg.types.builtins.INT8
      ? Number
      : pg.types.getTypeParser(oid, format)) as typeof pg.types.getTypeParser,
}

/** One connection carries many statements at once; more than one keeps a long page from delaying a short answer. */
const READERS = 4
const CONNECT_MS = 10_000
/**
 * A statement of the program without an answer for this long gives up its connection: of a machine that vanished
 * from the network the system tells only after a quarter of an hour. None takes a tenth of it; one that waits for a
 * day's head may wait for ten seconds (below). Migrations and restores, as `owner`, may take their time.
 */
const ANSWER_MS = 20_000
/** As long as a knock may take. */
const KNOCK_MS = 5_000

export type ConnectOptions = { max: number; as?: 'app' | 'owner'; name?: string }

/**
 * A pool of at most `max` connections and a reader of at most four more, opened when needed.
 *
 * As `app` every connection runs in the role `sunup_app`; as `owner` in the role of the url's user, which the
 * migrations need. A transaction that its program left standing (a machine that vanished from the network) is
 * ended by the database after ten seconds, so that it can't hold a day's head for long.
 */
export function connect(url: string, { max, as = 'app', name = 'sunup' }: ConnectOptions): Sql {
  const presence = watchPresence(() => knock(url))
  const pool = new pg.Pool({
    connectionString: url,
    max,
    types,
    application_name: name,
    connectionTimeoutMillis: CONNECT_MS,
    ...(as === 'app' ? { query_timeout: ANSWER_MS } : {}),
    idleTimeoutMillis: 60_000,
    keepAlive: true,
    options: `-c idle_in_transaction_session_timeout=10000${as === 'app' ? ` -c role=${APP_ROLE}` : ''}`,
  })
  // A lost connection is replaced when one is needed: nothing to do. Each has a listener of its own from its first
  // moment, because one that is lost while it is handed out belongs to nobody, and such an error ends the server.
  pool.on('error', presence.lost).on('connect', client => client.on('error', presence.lost))
  const reader = openReader(url, {
    max: Math.min(max, READERS),
    name: `${name} reader`,
    role: as === 'app' ? APP_ROLE : undefined,
    presence,
  })
  let ended: Promise<void> | null = null
  const lost = (error: unknown): never => {
    if (isConnectionLost(error)) presence.lost()
    throw error
  }
  return Object.assign(query(pool, lost), {
    reader,
    pool,
    presence,
    begin: <R>(...args: [(tx: Tx) => Promise<R>] | [string, (tx: Tx) => Promise<R>]) =>
      (args.length === 1 ? transaction(pool, '', args[0]) : transaction(pool, args[0], args[1])).catch(lost),
    end: ({ timeout }: { timeout?: number } = {}) => {
      presence.end()
      ended ??= Promise.all([pool.end(), reader.end({ timeout })]).then(() => {})
      if (timeout === undefined) return ended
      let timer: NodeJS.Timeout | undefined
      const late = new Promise<void>(resolve => {
        timer = setTimeout(resolve, timeout * 1_000)
      })
      return Promise.race([ended, late]).finally(() => clearTimeout(timer))
    },
  })
}

/** Asks the least there is to ask, on a connection of its own. */
async function knock(url: string): Promise<void> {
  const client = new pg.Client({
    connectionString: url,
    application_name: 'sunup knock',
    connectionTimeoutMillis: KNOCK_MS,
    query_timeout: KNOCK_MS,
  })
  client.on('error', () => {})
  try {
    await client.connect()
    await client.query('select 1')
  } finally {
    // Not waited for: where nobody answers, nobody takes leave either.
    client.end().catch(() => {})
  }
}

function query(client: pg.Pool | pg.PoolClient, onFailed: (error: unknown) => never = rethrow): Query {
  const run = async (text: string, values?: unknown[]) => {
    const result = await (values ? client.query(text, values) : client.query(text)).catch(onFailed)
    const last = Array.isArray(result) ? (result as pg.QueryResult[]).at(-1)! : result
    return Object.defineProperty(last.rows, 'count', { value: last.rowCount ?? 0 }) as Rows<never>
  }
  return Object.assign(
    (strings: TemplateStringsArray, ...values: unknown[]) =>
      run(
        strings.reduce((text, part, i) => `${text}$${i}${part}`),
        values,
      ),
    { unsafe: run },
  )
}

function rethrow(error: unknown): never {
  throw error
}

async function transaction<R>(pool: pg.Pool, mode: string, work: (tx: Tx) => Promise<R>): Promise<R> {
  const client = await pool.connect()
  let lost: Error | undefined
  const onLost = (error: Error) => {
    lost = error
  }
  client.on('error', onLost)
  try {
    await client.query(`begin ${mode}`)
    const result = await work(query(client))
    const { command } = await client.query('commit')
    // After a failed statement Postgres answers a commit with a rollback, and no error.
    if (command !== 'COMMIT')
      throw new Error('the transaction was rolled back: one of its statements had failed')
    return result
  } catch (error) {
    if (isConnectionLost(error)) lost ??= error as Error
    if (!lost) await client.query('rollback').catch(onLost)
    throw error
  } finally {
    client.off('error', onLost)
    // A lost connection is thrown away.
    client.release(lost ?? false)
  }
}

/**
 * A bell on a connection of its own: `ring` is called with each payload notified on the channel. A lost connection
 * is not repaired by itself: `listen` is called again by whoever polls (`false`: it was listening already).
 */
export function bell(sql: Sql, channel: string, ring: (payload: string) => void) {
  let client: pg.Client | null = null
  let over = false
  return {
    listen: async (): Promise<boolean> => {
      if (client) return false
      const fresh = new pg.Client(sql.pool.options)
      client = fresh
      const lost = () => {
        if (client !== fresh) return
        client = null
        sql.presence.lost()
      }
      fresh.on('error', lost).on('end', lost)
      fresh.on('notification', ({ payload }) => ring(payload ?? ''))
      try {
        await fresh.connect()
        await fresh.query(`listen ${channel}`)
        return true
      } catch (error) {
        lost()
        // Asked to end while it was connecting.
        if (over) return false
        throw error
      }
    },
    end: async (): Promise<void> => {
      over = true
      const last = client
      client = null
      await last?.end().catch(() => {})
    },
  }
}
