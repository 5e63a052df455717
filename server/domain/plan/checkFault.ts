/** What is wrong with a plan folder, and where: enough to mend it without guessing. */
export type Fault = {
  file: string
  /** Line in the file, from 1; null where the fault is no single line's (a missing file, a file that can't be read). */
  line: number | null
  /**
   * Name of the column; in plan.json the dotted path, or `character 7` where the text is no JSON; null where it
   * is the whole line or file.
   */
  column: string | null
  /** What stands there now, shortened to 80 characters; '' where nothing does. */
  found: string
  /** What would do. */
  message: string
}

/** Longest piece of a file that is shown. */
const SHOWN = 80
/** Control signs, and signs that have no width: they are shown by their code. */
const UNSEEN = /[\p{Cc}\u00AD\u200B-\u200F\u2028\u2029\u2060\uFEFF]/gu

/** A value as it is shown to people in a fault: one line, nothing unseen, at most 80 characters. */
export function shown(value: unknown): string {
  if (value === undefined) return ''
  const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? '')
  const seen = text
    .slice(0, SHOWN + 1)
    .replace(UNSEEN, sign =>
      sign === '\n'
        ? '\\n'
        : sign === '\t'
          ? '\\t'
          : `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`,
    )
  return seen.length > SHOWN ? `${seen.slice(0, SHOWN - 1)}…` : seen
}

/** One line a fault, as a terminal or a page shows it: `precincts.csv:7 stations: found "none"; a whole number`. */
export function faultLine(fault: Fault): string {
  const where = fault.line === null ? fault.file : `${fault.file}:${fault.line}`
  const what = fault.column === null ? '' : ` ${fault.column}`
  const found = fault.found === '' ? '' : `found "${fault.found}"; `
  return `${where}${what}: ${found}${fault.message}`
}

/** The value at a path of a parsed document; undefined where there is none. */
export function valueAt(value: unknown, path: ReadonlyArray<PropertyKey>): unknown {
  let at = value
  for (const key of path) {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, key)) return undefined
    at = (at as Record<PropertyKey, unknown>)[key]
  }
  return at
}
