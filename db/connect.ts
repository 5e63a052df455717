import postgres from 'postgres'

/** The role that the program runs as: it may add to the log and can't change it (db/migrations). */
export const APP_ROLE = 'sunup_app'

/** Bigints are positions, numbers and milliseconds, all below 2^53: they come as numbers. */
const bigint = { to: 20, from: [20], serialize: (value: unknown) => String(value), parse: Number }

export type Sql = postgres.Sql<{ bigint: number }>
export type Tx = postgres.TransactionSql<{ bigint: number }>

/**
 * A pool of at most `max` connections, opened when needed.
 *
 * As `app` every connection runs in the role `sunup_app`; as `owner` in the role of the url's user, which the
 * migrations need. A transaction that its program left standing (a machine that vanished from the network) is
 * ended by the database after ten seconds, so that it can't hold a day's head for long.
 */
export function connect(url: string, options: { max: number; as?: 'app' | 'owner'; name?: string }): Sql {
  const { max, as = 'app', name = 'sunup' } = options
  return postgres(url, {
    max,
    types: { bigint },
    connect_timeout: 10,
    onnotice: () => {},
    // Quick: whoever waits for the log has its own patience.
    backoff: (attempts: number) => Math.min(2, 0.05 * 2 ** Math.min(attempts, 6)) * (0.5 + Math.random() / 2),
    connection: {
      application_name: name,
      idle_in_transaction_session_timeout: 10_000,
      ...(as === 'app' ? { role: APP_ROLE } : {}),
    },
  }) as Sql
}

const TRANSIENT_CODES = new Set([
  'CONNECTION_CLOSED',
  'CONNECTION_ENDED',
  'CONNECTION_DESTROYED',
  'CONNECT_TIMEOUT',
  'ECONNREFUSED',
  'ECONNRESET',
  'ECONNABORTED',
  'EPIPE',
  'ETIMEDOUT',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'ENOTFOUND',
  'EAI_AGAIN',
  'ENOENT',
  // serialization failure, deadlock, lock not available, idle-in-transaction timeout, cancelled
  '40001',
  '40P01',
  '55P03',
  '25P03',
  '57014',
  // read-only: the database is being handed over to a standby
  '25006',
])

/** Trouble that passes by itself: the connection, a shutdown or start (57P0x), resources (53xxx), the network (08xxx). */
export function isTransient(error: unknown): boolean {
  const code = typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : ''
  return TRANSIENT_CODES.has(code) || /^(08|53|57P0)/.test(code)
}

/**
 * A bell on a connection of its own: `ring` is called with each payload notified on the channel. A lost connection
 * is not repaired by itself: `listen` is called again by whoever polls (`false`: it was listening already).
 */
export function bell(sql: Sql, channel: string, ring: (payload: string) => void) {
  let listening = false
  const options = {
    ...sql.options,
    max: 1,
    idle_timeout: null,
    max_lifetime: null,
    fetch_types: false,
    onnotify: (_channel: string, payload: string) => ring(payload),
    onclose: () => {
      listening = false
    },
  }
  const own = postgres(options as unknown as postgres.Options<Record<string, never>>)
  return {
    listen: async (): Promise<boolean> => {
      if (listening) return false
      await own.unsafe(`listen ${channel}`)
      listening = true
      return true
    },
    end: () => own.end({ timeout: 1 }),
  }
}
