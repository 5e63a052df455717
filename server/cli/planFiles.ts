import { createHash } from 'node:crypto'
import { readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { CsvError, parse } from 'csv-parse/sync'
import { type CheckedPlan, checkPlan, type PlanFiles } from '../domain/plan/check.ts'
import type { Fault } from '../domain/plan/checkFault.ts'
import { type CsvLine, optionalTables, type TableName, tableNames, tables } from '../domain/plan/csv.ts'
import { canonicalPlan } from '../domain/plan/hash.ts'
import type { Plan } from '../domain/plan/plan.ts'

/** A file larger than this is not read: Ellery's largest, with 64 precincts, has 17 KB. */
const FILE_BYTES = 16 * 1024 * 1024

type Info = { lines: number }
const newlines = (cell: string) => cell.split('\n').length - 1

/** Lines of a CSV text with the line each begins on; a fault where it isn't CSV. BOM and any line end are fine. */
export function csvLines(file: string, text: string): { lines: CsvLine[] } | { fault: Fault } {
  try {
    // With `info` the parser gives records with their place, which its types don't say.
    const read = parse(text.replace(/\r\n?/g, '\n'), {
      bom: true,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
    }) as unknown as Array<{ record: string[]; info: Info }>
    const lines = read.map(({ record, info }) => ({
      line: info.lines - record.reduce((n, cell) => n + newlines(cell), 0),
      cells: record,
    }))
    return { lines: lines.filter(l => l.cells.some(c => c.trim() !== '')) }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    const line = typeof error.lines === 'number' ? error.lines : null
    return { fault: { file, line, column: null, found: '', message: `CSV; ${error.message}` } }
  }
}

/** Text of a file, or why it could not be read. */
function textOf(dir: string, file: string): { text: string } | { missing: true } | { fault: Fault } {
  const fault = (message: string) => ({ fault: { file, line: null, column: null, found: '', message } })
  try {
    const path = join(dir, file)
    if (statSync(path).size > FILE_BYTES) return fault(`at most ${FILE_BYTES / 1024 / 1024} MB`)
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(path)) }
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (code === 'ENOENT') return { missing: true }
    if (code === 'ERR_ENCODING_INVALID_ENCODED_DATA') return fault('text in UTF-8')
    if (typeof code === 'string') return fault(`a file that can be read (${code})`)
    throw error
  }
}

function readFiles(dir: string): PlanFiles {
  const unread: Fault[] = []
  const missing = (file: string) =>
    unread.push({ file, line: null, column: null, found: '', message: `the file is missing in ${dir}` })
  const json = textOf(dir, 'plan.json')
  if ('fault' in json) unread.push(json.fault)
  else if ('missing' in json) missing('plan.json')
  const read: Partial<Record<TableName, CsvLine[]>> = {}
  for (const name of tableNames) {
    const { file } = tables[name]
    const text = textOf(dir, file)
    if ('missing' in text) {
      if (!optionalTables.has(name)) missing(file)
      continue
    }
    const lines = 'fault' in text ? text : csvLines(file, text.text)
    if ('fault' in lines) unread.push(lines.fault)
    else read[name] = lines.lines
  }
  return { json: 'text' in json ? json.text : null, tables: read, unread }
}

/** The plan of a folder, or all its faults; a folder or file that is not there is a fault, never an exception. */
export function readPlanFolder(dir: string): CheckedPlan {
  const isFolder = statSync(dir, { throwIfNoEntry: false })?.isDirectory() ?? false
  if (!isFolder)
    return {
      faults: [
        { file: dir, line: null, column: null, found: '', message: 'a plan folder: there is none here' },
      ],
    }
  return checkPlan(readFiles(dir))
}

/** SHA-256 of the plan's canonical text, 64 hexadecimal digits: what DayOpened pins. */
export function planHash(plan: Plan): string {
  return createHash('sha256').update(canonicalPlan(plan), 'utf8').digest('hex')
}
