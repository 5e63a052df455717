import { CsvError, parse } from 'csv-parse/sync'
import type { Fault } from '../domain/plan/checkFault.ts'
import type { CsvLine } from '../domain/plan/csv.ts'

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
