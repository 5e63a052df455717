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
 * type, message, code, stack and cause, nothing else that they carry (a database error carries what was written).
 */
export function makeLog(level: string, destination?: DestinationStream): Log {
  const at = (depth: string) =>
    PERSONAL.map(name => (name.startsWith('[') ? `${depth.slice(0, -1)}${name}` : `${depth}${name}`))
  return pino(
    {
      level,
      base: null,
      serializers: { err: errorFields },
      timestamp: pino.stdTimeFunctions.isoTime,
      redact: { paths: [...PERSONAL, ...at('*.'), ...at('*.*.')], censor: '[kept out]' },
    },
    destination ?? stderrLines(),
  )
}

function stderrLines() {
  const lines = pino.destination({ dest: 2, sync: true })
  lines.on('error', () => {})
  return lines
}

/**
 * Nobody reads stdout or stderr any more (the terminal or the program that started this one is gone): the server goes
 * on without. Unheard, such an error would be reported to the same closed pipe, for ever, and no signal would be served.
 */
export function outliveReaders() {
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {})
}

/** `errorCode` and not `code`, which is the name of what a tablet enrols by and is kept out. */
type ErrorFields = { type: string; message: string; errorCode?: unknown; stack?: string; cause?: ErrorFields }

function errorFields(error: unknown, depth = 0): ErrorFields {
  if (!(error instanceof Error)) return { type: typeof error, message: '' }
  const code = 'code' in error ? { errorCode: error.code } : {}
  const cause = error.cause !== undefined && depth < 3 ? { cause: errorFields(error.cause, depth + 1) } : {}
  return {
    type: error.name,
    message: withoutParameters(error.message),
    ...code,
    ...(error.stack ? { stack: withoutParameters(error.stack) } : {}),
    ...cause,
  }
}

/** A failed statement's message ends with the values it was given: names, words, hashes. */
function withoutParameters(text: string): string {
  return text.replace(/\nparams: [\s\S]*?(?=\n {4}at |$)/g, '')
}
