import { issueWords } from '../issueWords.ts'
import {
  type Column,
  type CsvLine,
  type RecordsOf,
  type Row,
  type Table,
  type TableName,
  tables,
} from './csv.ts'
import { cleanCell, readCell } from './csvCells.ts'
import type { Delimiter } from './dialect.ts'
import type { FaultList } from './faultList.ts'
import { didYouMean } from './nearest.ts'

/** A table of a plan has a dozen columns; a header that is much wider is no header. */
const WIDEST = 100

type Columns = Record<string, Column>

/** Known columns by their index in the file; null where there is no header to read rows by. */
function columnsOf(
  { file }: Table,
  columns: Columns,
  lines: readonly CsvLine[],
  faults: FaultList,
): { at: Map<number, string>; width: number; cells: number; missing: ReadonlySet<string> } | null {
  const known = Object.keys(columns)
  const wanted = `a header row with the columns ${known.join(', ')}`
  const head = lines[0]
  if (!head) {
    faults.add(file, 1, null, '', wanted)
    return null
  }
  if (head.cells.length > WIDEST) {
    faults.add(file, head.line, null, head.cells.slice(0, WIDEST).join(','), `at most ${WIDEST} columns`)
    return null
  }
  const names = head.cells.map(cleanCell)
  if (!names.some(name => known.includes(name) || known.includes(name.toLowerCase()))) {
    faults.add(
      file,
      head.line,
      null,
      names.join(','),
      `${wanted}, divided by commas, semicolons or tabs${didYouMean(names[0]!, known)}`,
    )
    return null
  }
  const at = new Map<number, string>()
  const missing = new Set(known.filter(c => !columns[c]?.optional && !names.includes(c)))
  names.forEach((name, i) => {
    if (name === '') {
      const used = lines.find(l => cleanCell(l.cells[i] ?? '') !== '')
      if (used)
        faults.add(
          file,
          used.line,
          `column ${i + 1}`,
          used.cells[i],
          'a name for this column in the header, or nothing in it',
        )
    } else if (!Object.hasOwn(columns, name))
      faults.add(
        file,
        head.line,
        name.length > 40 ? `column ${i + 1}` : name,
        name,
        `unknown column; known are ${known.join(', ')}${didYouMean(name, known)}`,
      )
    else if (names.indexOf(name) !== i)
      faults.add(file, head.line, name, name, 'the column stands twice; take one of the two away')
    else at.set(i, name)
  })
  for (const name of missing)
    faults.add(file, head.line, name, '', 'the column is missing; add it to the header')
  return { at, width: names.findLastIndex(name => name !== '') + 1, cells: names.length, missing }
}

/**
 * The rows of one table, its good records, and everything that is wrong with its header and cells. Cells are
 * cleaned; an empty cell is a value that is not given. Empty columns at the right, and empty cells beyond the
 * header, are left aside.
 * @returns null where the header can't be read, or there are too many rows: nothing is known of its rows then
 */
export function recordsOf<T extends TableName>(
  name: T,
  lines: readonly CsvLine[],
  delimiter: Delimiter,
  faults: FaultList,
): { rows: Row[]; records: RecordsOf<T> } | null {
  const table: Table = tables[name]
  const { file, record } = table
  const columns: Columns = tables[name].columns
  const header = columnsOf(table, columns, lines, faults)
  if (!header) return null
  const rows: Row[] = []
  const records: unknown[] = []
  if (lines.length - 1 > table.rows) {
    const first = lines[table.rows + 1]!
    faults.add(
      file,
      first.line,
      null,
      first.cells.slice(0, WIDEST).join(delimiter),
      `at most ${table.rows.toLocaleString('en-US')} rows; take this one and what follows away`,
    )
    return null
  }
  for (let n = 1; n < lines.length; n++) {
    const { line, cells } = lines[n]!
    if (cells.length < header.width || cells.slice(header.cells).some(c => cleanCell(c) !== '')) {
      faults.add(
        file,
        line,
        null,
        cells.slice(0, WIDEST).join(delimiter),
        `${header.width} cells as in the header, not ${cells.length}; a cell that holds the divider stands in quotation marks`,
      )
      // Which cell is which isn't known beyond the first: it is kept, so that what names this row is no fault too.
      const [first] = header.at.values()
      const text = cleanCell(cells[0] ?? '')
      if (first !== undefined && header.at.get(0) === first && text !== '')
        rows.push({ line, value: { [first]: text }, raw: { [first]: text } })
      continue
    }
    const value: Record<string, unknown> = {}
    const raw: Record<string, string> = {}
    const told = new Set(header.missing)
    for (const [i, column] of header.at) {
      const text = cleanCell(cells[i]!)
      raw[column] = text
      const read = readCell(columns[column]!.cell, text, delimiter)
      if ('value' in read) value[column] = read.value
      else {
        faults.add(file, line, column, text, read.wanted)
        told.add(column)
      }
    }
    table.fill?.(value)
    rows.push({ line, value, raw })
    const parsed = record.safeParse(value)
    if (parsed.success) {
      records.push(parsed.data)
      continue
    }
    for (const issue of parsed.error.issues) {
      const column = String(issue.path[0] ?? '')
      if (!columns[column] || told.has(column)) continue
      told.add(column)
      faults.add(file, line, column, raw[column], () => issueWords(issue, value[column]))
    }
  }
  return { rows, records: records as RecordsOf<T> }
}
