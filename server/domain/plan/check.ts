import { issueWords } from '../issueWords.ts'
import { depotFaults } from './checkDepot.ts'
import type { Fault } from './checkFault.ts'
import { profileFaults } from './checkHours.ts'
import { checkJson, JSON_FILE } from './checkJson.ts'
import { precinctFaults } from './checkPrecincts.ts'
import { receivingFaults } from './checkReceiving.ts'
import { referenceFaults } from './checkReferences.ts'
import { stepFaults } from './checkSteps.ts'
import { styleFaults } from './checkStyles.ts'
import { type CsvLine, type Rows, type TableName, tableNames, tables } from './csv.ts'
import { recordsOf } from './csvRecords.ts'
import type { Delimiter } from './dialect.ts'
import { FaultList } from './faultList.ts'
import { type Plan, plan as planSchema } from './plan.ts'

/** A plan folder as it was read. */
export type PlanFiles = {
  /** Text of plan.json; null where it could not be read (then `unread` says why). */
  json: string | null
  /** Lines of each CSV file that could be read, header first. */
  tables: Partial<Record<TableName, readonly CsvLine[]>>
  /** What divides the cells of a file, where it isn't a comma. */
  delimiters?: Partial<Record<TableName, Delimiter>>
  /** What went wrong in reading. */
  unread: readonly Fault[]
}

export type CheckedPlan = { plan: Plan } | { faults: Fault[] }

const rowsNeeded: ReadonlySet<TableName> = new Set(['places', 'precincts', 'steps', 'profile'])
const order: readonly string[] = [JSON_FILE, ...tableNames.map(name => tables[name].file)]

/**
 * The plan of a folder, or every fault of it at once, file by file and line by line. What depends on a file that
 * could not be read is not checked, so one missing file doesn't show as a hundred unknown codes.
 */
export function checkPlan(files: PlanFiles): CheckedPlan {
  const faults = new FaultList()
  for (const { file, line, column, found, message } of files.unread)
    faults.add(file, line, column, found, message)
  const json = files.json === null ? null : checkJson(files.json, faults)

  const rows: Rows = {}
  const records: Partial<Record<TableName, unknown[]>> = {}
  for (const name of tableNames) {
    const lines = files.tables[name]
    if (!lines) {
      // A plan that has always been without them stays the same plan, by its hash too.
      if (name === 'contacts') records[name] = []
      continue
    }
    const read = recordsOf(name, lines, files.delimiters?.[name] ?? ',', faults)
    if (!read) continue
    rows[name] = read.rows
    records[name] = read.records
    if (lines.length === 1 && rowsNeeded.has(name))
      faults.add(tables[name].file, lines[0]!.line, null, '', 'at least one row under the header')
  }
  referenceFaults(rows, faults)
  precinctFaults(rows, faults)
  stepFaults(rows.steps ?? [], faults)
  styleFaults(rows.styles ?? [], faults)
  profileFaults(rows.profile ?? [], files.tables.profile?.[0]?.line ?? 1, json?.hours, faults)
  receivingFaults(json, rows, faults)
  depotFaults(json, rows, faults)

  const found = faults.list(order)
  if (found.length > 0) return { faults: found }
  const whole = planSchema.safeParse({ ...json?.fields, ...records })
  if (whole.success) return { plan: whole.data }
  for (const issue of whole.error.issues) {
    const [first, n, column] = issue.path
    const table = tableNames.find(name => name === first)
    const line = table === undefined ? json?.lineOf(issue.path) : rows[table]?.[Number(n)]?.line
    faults.add(
      table === undefined ? JSON_FILE : tables[table].file,
      line ?? 1,
      table === undefined ? issue.path.map(String).join('.') : column === undefined ? null : String(column),
      '',
      issueWords(issue, undefined),
    )
  }
  return { faults: faults.list(order) }
}
