import type { Presence } from '../db/presence.ts'
import { isTransient } from '../db/trouble.ts'
import { Unavailable } from './domain/log/dayLog.ts'
import type { Log } from './log.ts'

/**
 * Tells trouble that no caller is told of. While the database is away everybody fails for the same reason: that it is
 * away and that it is back are a line each, and what fails in between is told at `debug` only.
 */
export function tellTrouble(logger: Log, presence: Presence): (error: unknown) => void {
  presence.onChange(awayMs => {
    if (awayMs === null) logger.error('the database is away: nothing is acknowledged until it is back')
    else logger.warn({ ms: Math.round(awayMs) }, 'the database is back')
  })
  return error => {
    const known = presence.away() !== null && (isTransient(error) || error instanceof Unavailable)
    logger[known ? 'debug' : 'warn']({ err: error }, 'trouble, will be tried again')
  }
}
