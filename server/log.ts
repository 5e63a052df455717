import { type DestinationStream, type Logger, pino } from 'pino'

export type Log = Logger

/**
 * Names of fields that may hold a secret or somebody's words or name: never written, wherever they stand up to
 * three levels deep. Log codes of precincts, ids of devices, positions, counts and durations instead.
 */
const PERSONAL = [
  'key',
  'code',
  'token',
  'session',
  'secret',
  'password',
  'cookie',
  'authorization',
  '["set-cookie"]',
  'name',
  'phone',
  'address',
  'note',
  'what',
  'detail',
  'label',
  'body',
  'databaseUrl',
] as const

/**
 * Structured lines (JSON), to stderr by default: stdout belongs to what a command answers. Errors are written by
 * type, message, code and stack.
 */
export function makeLog(level: string, destination?: DestinationStream): Log {
  const at = (depth: string) =>
    PERSONAL.map(name => (name.startsWith('[') ? `${depth.slice(0, -1)}${name}` : `${depth}${name}`))
  return pino(
    {
      level,
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      redact: { paths: [...PERSONAL, ...at('*.'), ...at('*.*.')], censor: '[kept out]' },
    },
    destination ?? pino.destination({ dest: 2, sync: true }),
  )
}
