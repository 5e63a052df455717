import type { z } from 'zod'
import { type Fault, shown, wordsOf } from './checkFault.ts'
import { contact, equipment, place, precinct, profileRow, rover, seal, step } from './plan.ts'

/** The tables of a plan folder: one CSV file with a header row for each. Columns are named like the plan's fields. */

type Cell = 'text' | 'number' | 'list' | 'yes-no'
type Column = { cell: Cell; optional?: true }
type Table = { file: string; record: z.ZodObject; columns: Record<string, Column> }

const text: Column = { cell: 'text' }
const number: Column = { cell: 'number' }

export const tables = {
  precincts: {
    file: 'precincts.csv',
    record: precinct,
    columns: {
      code: text,
      name: text,
      place: text,
      registered: number,
      expected: number,
      ballots: number,
      stations: number,
      booths: number,
      workers: number,
    },
  },
  places: {
    file: 'places.csv',
    record: place,
    columns: {
      code: text,
      name: text,
      address: { cell: 'text', optional: true },
      latitude: number,
      longitude: number,
      phone: { cell: 'text', optional: true },
      area: { cell: 'text', optional: true },
    },
  },
  equipment: {
    file: 'equipment.csv',
    record: equipment,
    columns: { tag: text, precinct: text, kind: text, label: { cell: 'text', optional: true } },
  },
  seals: {
    file: 'seals.csv',
    record: seal,
    columns: { precinct: text, container: text, number: text, phase: { cell: 'text', optional: true } },
  },
  rovers: {
    file: 'rovers.csv',
    record: rover,
    columns: { code: text, name: text, phone: text, base: text, skills: { cell: 'list', optional: true } },
  },
  contacts: {
    file: 'contacts.csv',
    record: contact,
    columns: { precinct: text, role: text, name: text, phone: text },
  },
  steps: {
    file: 'steps.csv',
    record: step,
    columns: {
      code: text,
      phase: text,
      title: text,
      after: { cell: 'list' },
      medianMinutes: number,
      p90Minutes: number,
      byTwo: { cell: 'yes-no', optional: true },
      completedBy: { cell: 'text', optional: true },
    },
  },
  profile: { file: 'profile.csv', record: profileRow, columns: { from: text, to: text, share: number } },
} as const satisfies Record<string, Table>

export type TableName = keyof typeof tables
export const tableNames = Object.keys(tables) as TableName[]
/** A plan folder may do without these. */
export const optionalTables: ReadonlySet<TableName> = new Set(['contacts'])

/** A line of a CSV file as it was read: the line it begins on, from 1, and its cells. The header is the first. */
export type CsvLine = { line: number; cells: readonly string[] }
/** A record as it stands in the file, whether or not it is fit to be one of the plan. */
export type Row = { line: number; value: Record<string, unknown> }
export type Rows = Partial<Record<TableName, Row[]>>
export type RecordsOf<T extends TableName> = Array<z.output<(typeof tables)[T]['record']>>

/** A list stands in one cell, its items separated by semicolons. */
function read(cell: Cell, raw: string): unknown {
  if (cell === 'list')
    return raw
      .split(';')
      .map(s => s.trim())
      .filter(s => s !== '')
  if (raw === '') return undefined
  if (cell === 'number') return /^-?\d+(\.\d+)?$/.test(raw) ? Number(raw) : raw
  if (cell === 'yes-no') return raw === 'yes' ? true : raw === 'no' ? false : raw
  return raw
}

function wanted(column: Column, issue: z.core.$ZodIssue, value: unknown): string {
  if (column.cell === 'yes-no') return 'yes or no'
  if (column.cell === 'number' && typeof value === 'string') return 'a number, such as 12'
  return wordsOf(issue, value)
}

/**
 * The rows of one table, its good records, and everything that is wrong with its header and cells. Cells are
 * trimmed; an empty cell is a value that is not given.
 */
export function recordsOf<T extends TableName>(
  name: T,
  lines: readonly CsvLine[],
): { rows: Row[]; records: RecordsOf<T>; faults: Fault[] } {
  const { file, record }: Table = tables[name]
  const columns: Record<string, Column> = tables[name].columns
  const faults: Fault[] = []
  const fault = (line: number | null, column: string | null, found: unknown, message: string) =>
    faults.push({ file, line, column, found: shown(found), message })

  const head = lines[0]
  const wantedColumns = Object.keys(columns)
  if (!head) {
    fault(null, null, '', `a header row with the columns ${wantedColumns.join(', ')}`)
    return { rows: [], records: [], faults }
  }
  const names = head.cells.map(c => c.trim())
  names.forEach((column, i) => {
    if (!Object.hasOwn(columns, column))
      fault(
        head.line,
        column === '' ? null : column,
        column,
        `unknown column; known are ${wantedColumns.join(', ')}`,
      )
    else if (names.indexOf(column) !== i) fault(head.line, column, column, 'the column stands twice')
  })
  const missing = new Set(wantedColumns.filter(c => !columns[c]?.optional && !names.includes(c)))
  for (const column of missing) fault(head.line, column, '', 'the column is missing')

  const rows: Row[] = []
  const records: unknown[] = []
  for (const { line, cells } of lines.slice(1)) {
    if (cells.length !== names.length) {
      fault(line, null, cells.join(','), `${names.length} cells as in the header, not ${cells.length}`)
      if (cells.length < names.length) continue
    }
    const value: Record<string, unknown> = {}
    names.forEach((column, i) => {
      const spec = columns[column]
      if (spec) value[column] = read(spec.cell, (cells[i] ?? '').trim())
    })
    rows.push({ line, value })
    const parsed = record.safeParse(value)
    if (parsed.success) {
      records.push(parsed.data)
      continue
    }
    const told = new Set<string>()
    for (const issue of parsed.error.issues) {
      const column = String(issue.path[0] ?? '')
      const spec = columns[column]
      if (!spec || missing.has(column) || told.has(column)) continue
      told.add(column)
      const whole = value[column]
      fault(line, column, Array.isArray(whole) ? whole.join(';') : whole, wanted(spec, issue, whole))
    }
  }
  return { rows, records: records as RecordsOf<T>, faults }
}
