import { type Fault, shown } from './checkFault.ts'
import { type Row, type Rows, type TableName, tables } from './csv.ts'

const textOf = (row: Row, column: string): string | undefined => {
  const value = row.value[column]
  return typeof value === 'string' ? value : undefined
}

/** What must stand only once in a table. A seal's number is its own in the whole county. */
const unique: ReadonlyArray<{ table: TableName; columns: string[] }> = [
  { table: 'precincts', columns: ['code'] },
  { table: 'places', columns: ['code'] },
  { table: 'equipment', columns: ['tag'] },
  { table: 'seals', columns: ['precinct', 'container'] },
  { table: 'seals', columns: ['number'] },
  { table: 'rovers', columns: ['code'] },
  { table: 'steps', columns: ['code'] },
]

const references: ReadonlyArray<{ table: TableName; column: string; to: 'places' | 'precincts' }> = [
  { table: 'precincts', column: 'place', to: 'places' },
  { table: 'equipment', column: 'precinct', to: 'precincts' },
  { table: 'seals', column: 'precinct', to: 'precincts' },
  { table: 'contacts', column: 'precinct', to: 'precincts' },
  { table: 'rovers', column: 'base', to: 'places' },
]

/**
 * Codes that stand twice, codes that name nothing, and precincts without a tabulator. It looks at every row
 * that could be read, also those with other faults, so that one bad cell doesn't make its whole row unknown.
 */
export function referenceFaults(rows: Rows): Fault[] {
  const faults: Fault[] = []
  for (const { table, columns } of unique) {
    const lineOf = new Map<string, number>()
    for (const row of rows[table] ?? []) {
      const values = columns.map(c => textOf(row, c))
      if (values.some(v => v === undefined)) continue
      const key = values.join(' ')
      const first = lineOf.get(key)
      if (first === undefined) lineOf.set(key, row.line)
      else
        faults.push({
          file: tables[table].file,
          line: row.line,
          column: columns.at(-1)!,
          found: shown(key),
          message: `stands already in line ${first}; once is enough`,
        })
    }
  }
  for (const { table, column, to } of references) {
    const known = rows[to] && new Set(rows[to].map(r => textOf(r, 'code')))
    if (!known) continue
    for (const row of rows[table] ?? []) {
      const named = textOf(row, column)
      if (named !== undefined && !known.has(named))
        faults.push({
          file: tables[table].file,
          line: row.line,
          column,
          found: shown(named),
          message: `a code that stands in ${tables[to].file}`,
        })
    }
  }
  if (rows.precincts && rows.equipment) {
    const having = new Set(
      rows.equipment.filter(r => r.value.kind === 'tabulator').map(r => textOf(r, 'precinct')),
    )
    for (const row of rows.precincts) {
      const code = textOf(row, 'code')
      if (code !== undefined && !having.has(code))
        faults.push({
          file: tables.precincts.file,
          line: row.line,
          column: 'code',
          found: shown(code),
          message: 'at least one tabulator for this precinct in equipment.csv',
        })
    }
  }
  return faults
}
