import { type Row, type Rows, type TableName, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'
import { didYouMean } from './nearest.ts'

const textOf = (row: Row, column: string): string | undefined => {
  const value = row.value[column]
  return typeof value === 'string' ? value : undefined
}

/** What must stand only once in a table. A seal's number is its own in the whole county. */
const unique: ReadonlyArray<{ table: TableName; columns: readonly string[] }> = [
  { table: 'precincts', columns: ['code'] },
  { table: 'places', columns: ['code'] },
  { table: 'equipment', columns: ['tag'] },
  { table: 'seals', columns: ['precinct', 'container'] },
  { table: 'seals', columns: ['number'] },
  { table: 'rovers', columns: ['code'] },
  { table: 'steps', columns: ['code'] },
  { table: 'styles', columns: ['precinct', 'style'] },
  { table: 'cards', columns: ['code'] },
]

const references: ReadonlyArray<{ table: TableName; column: string; to: 'places' | 'precincts' }> = [
  { table: 'precincts', column: 'place', to: 'places' },
  { table: 'equipment', column: 'precinct', to: 'precincts' },
  { table: 'seals', column: 'precinct', to: 'precincts' },
  { table: 'contacts', column: 'precinct', to: 'precincts' },
  { table: 'styles', column: 'precinct', to: 'precincts' },
  { table: 'rovers', column: 'base', to: 'places' },
]

/** Among more codes than this the nearest isn't looked for: it would take longer than reading the plan. */
const MOST_COMPARED = 1_000

/**
 * Codes that stand twice, also where they differ in case only, and codes that name nothing. It looks at every
 * row that could be read, also those with other faults, so that one bad cell doesn't make its whole row unknown.
 */
export function referenceFaults(rows: Rows, faults: FaultList): void {
  for (const { table, columns } of unique) {
    const { file } = tables[table]
    const firsts = new Map<string, { line: number; key: string }>()
    for (const row of rows[table] ?? []) {
      const values = columns.map(c => textOf(row, c))
      if (values.some(v => v === undefined)) continue
      const key = values.join(' ')
      const first = firsts.get(key.toLowerCase())
      if (!first) firsts.set(key.toLowerCase(), { line: row.line, key })
      else
        faults.add(
          file,
          row.line,
          columns.at(-1)!,
          key,
          first.key === key
            ? `stands already in line ${first.line}; once is enough`
            : `differs only in case from “${first.key}” in line ${first.line}; give it a name of its own`,
        )
    }
  }
  for (const { table, column, to } of references) {
    const known = rows[to] && new Set(rows[to].map(r => textOf(r, 'code')))
    if (!known) continue
    const codes = [...known].filter(code => code !== undefined)
    const suggested = (named: string) => {
      if (codes.length <= MOST_COMPARED) return didYouMean(named, codes)
      const same = codes.find(code => code.toLowerCase() === named.toLowerCase())
      return same === undefined ? '' : didYouMean(named, [same])
    }
    for (const row of rows[table] ?? []) {
      const named = textOf(row, column)
      if (named !== undefined && !known.has(named))
        faults.add(
          tables[table].file,
          row.line,
          column,
          named,
          () => `a code that stands in ${tables[to].file}${suggested(named)}`,
        )
    }
  }
}
