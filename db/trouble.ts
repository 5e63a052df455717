/** Which trouble with the database passes by itself. Both drivers' words for it are known here. */

const LOST_CODES = new Set(
  (
    'ECONNREFUSED ECONNRESET ECONNABORTED EPIPE ETIMEDOUT EHOSTUNREACH ENETUNREACH ENOTFOUND EAI_AGAIN ' +
    'CONNECTION_CLOSED CONNECTION_ENDED CONNECTION_DESTROYED CONNECT_TIMEOUT'
  ).split(' '),
)
/** Serialization failure, deadlock, lock not available, cancelled; read-only: it is being handed over to a standby. */
const PASSING_STATES = new Set('40001 40P01 55P03 57014 25006'.split(' '))

/** The connection is gone, or none could be made. 25P03 and 57P0x: the database has ended it. */
export function isConnectionLost(error: unknown): boolean {
  const code = codeOf(error)
  if (code !== '') return LOST_CODES.has(code) || /^(08|57P0|25P03)/.test(code)
  if (!(error instanceof Error)) return false
  return (
    /^Connection terminated|not queryable|^timeout (expired|exceeded when trying to connect)|^Query read timeout/.test(
      error.message,
    ) || isConnectionLost(error.cause)
  )
}

/** Trouble that passes by itself: the connection, a shutdown or start, resources (53xxx), locks. */
export function isTransient(error: unknown): boolean {
  const code = codeOf(error)
  return isConnectionLost(error) || PASSING_STATES.has(code) || code.startsWith('53')
}

/** The error's own code, or that of its cause: the query builder wraps what the driver says. */
function codeOf(error: unknown): string {
  if (!(error instanceof Error)) return ''
  return 'code' in error && error.code ? String(error.code) : codeOf(error.cause)
}
