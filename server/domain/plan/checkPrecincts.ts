import { type Rows, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'

/**
 * Whether a precinct has what it needs to count: a tabulator, or, where its ballots are counted centrally, a
 * ballot box and no tabulator; and a vote center has no registered voters of its own.
 */
export function precinctFaults(rows: Rows, faults: FaultList): void {
  if (!rows.precincts) return
  const { file } = tables.precincts
  const central = new Set<unknown>()
  for (const { line, value, raw } of rows.precincts) {
    if (value.counted === 'centrally') central.add(value.code)
    if (value.serves === 'everyone' && typeof value.registered === 'number' && value.registered > 0)
      faults.add(
        file,
        line,
        'registered',
        raw.registered,
        'nothing or 0: a vote center (serves everyone) has no registered voters of its own',
      )
  }
  if (!rows.equipment) return
  const having = (kind: string) =>
    new Set(rows.equipment?.filter(r => r.value.kind === kind).map(r => r.value.precinct))
  const tabulators = having('tabulator')
  const boxes = having('ballot-box')
  for (const { line, value } of rows.precincts) {
    const { code, counted } = value
    if (typeof code !== 'string') continue
    if (counted === 'centrally') {
      if (!boxes.has(code))
        faults.add(
          file,
          line,
          'counted',
          counted,
          `at least one ballot-box for ${code} in equipment.csv: ballots that are counted centrally go into it`,
        )
    } else if (!tabulators.has(code))
      faults.add(
        file,
        line,
        'code',
        code,
        'at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      )
  }
  for (const { line, value } of rows.equipment)
    if (value.kind === 'tabulator' && central.has(value.precinct))
      faults.add(
        tables.equipment.file,
        line,
        'kind',
        'tabulator',
        `no tabulator at ${String(value.precinct)}: precincts.csv says that it is counted centrally`,
      )
}
