import type { Fault } from './checkFault.ts'
import { shown } from './checkFault.ts'
import { type CsvLine, type TableName, tables } from './csv.ts'
import { type Delimiter, dialectOf } from './dialect.ts'

/** Cells of a line beyond this are not kept: no table has a tenth of them. */
const MOST_CELLS = 1_000

type Trouble = { line: number; found: string; message: string }

/**
 * Lines of a table's text, each with the line of the file it begins on; lines of nothing but empty cells are left
 * out. As RFC 4180 says: a cell in quotation marks may hold dividers, line ends and doubled quotation marks; any
 * line end will do, and a quotation mark inside a cell that doesn't begin with one is taken as it is. At most one
 * line more is read than the table may have.
 */
export function csvLines(
  table: TableName,
  text: string,
): { lines: CsvLine[]; delimiter: Delimiter } | { fault: Fault } {
  const { file, columns, rows } = tables[table]
  const plain = text.replace(/^\uFEFF/, '').replace(/\r\n?/g, '\n')
  const dialect = dialectOf(plain, Object.keys(columns))
  const read = split(dialect.text, dialect.delimiter, rows + 2)
  if ('lines' in read) return { lines: read.lines, delimiter: dialect.delimiter }
  const { line, found, message } = read.trouble
  return { fault: { file, line, column: null, found: shown(found), message } }
}

function split(
  text: string,
  delimiter: Delimiter,
  most: number,
): { lines: CsvLine[] } | { trouble: Trouble } {
  const lines: CsvLine[] = []
  let at = 0
  let line = 1
  while (at < text.length && lines.length < most) {
    const begins = line
    const cells: string[] = []
    for (;;) {
      const start = skipSpaces(text, at)
      let cell: string
      if (text[start] === '"') {
        const end = closingQuote(text, start + 1)
        if (end < 0)
          return {
            trouble: {
              line,
              found: firstLine(text.slice(start, start + 200)),
              message: 'a closing quotation mark: the one that opens in this line is never closed',
            },
          }
        const inside = text.slice(start + 1, end)
        cell = inside.replaceAll('""', '"')
        for (let i = inside.indexOf('\n'); i >= 0; i = inside.indexOf('\n', i + 1)) line++
        at = skipSpaces(text, end + 1)
        const next = text[at]
        if (next !== undefined && next !== delimiter && next !== '\n')
          return {
            trouble: {
              line,
              found: firstLine(text.slice(start, at + 40)),
              message:
                'nothing between a closing quotation mark and the next divider; inside quotation marks a mark is written twice ("")',
            },
          }
      } else {
        const end = endOfCell(text, at, delimiter)
        cell = text.slice(at, end)
        at = end
      }
      if (cells.length < MOST_CELLS) cells.push(cell)
      if (text[at] !== delimiter) break
      at++
    }
    at++
    line++
    if (cells.some(cell => cell.trim() !== '')) lines.push({ line: begins, cells })
  }
  return { lines }
}

function skipSpaces(text: string, from: number): number {
  let at = from
  while (text[at] === ' ') at++
  return at
}

/** Index of the mark that closes a quoted cell; −1 where none does. */
function closingQuote(text: string, from: number): number {
  let at = text.indexOf('"', from)
  while (at >= 0 && text[at + 1] === '"') at = text.indexOf('"', at + 2)
  return at
}

function endOfCell(text: string, from: number, delimiter: Delimiter): number {
  let at = from
  while (at < text.length && text[at] !== delimiter && text[at] !== '\n') at++
  return at
}

function firstLine(text: string): string {
  return text.split('\n', 1)[0]!
}
