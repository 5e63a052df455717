import { type Fault, shown, valueAt, wordsOf } from './checkFault.ts'
import { hoursFaults, policyFaults, profileFaults } from './checkHours.ts'
import { receivingFaults } from './checkReceiving.ts'
import { referenceFaults } from './checkReferences.ts'
import { stepFaults } from './checkSteps.ts'
import {
  type CsvLine,
  optionalTables,
  type Rows,
  recordsOf,
  type TableName,
  tableNames,
  tables,
} from './csv.ts'
import { type Plan, plan as planSchema } from './plan.ts'

/** A plan folder as it was read. */
export type PlanFiles = {
  /** Text of plan.json; null where it could not be read (then `unread` says why). */
  json: string | null
  /** Lines of each CSV file that could be read, header first. */
  tables: Partial<Record<TableName, readonly CsvLine[]>>
  /** What went wrong in reading. */
  unread: readonly Fault[]
}

export type CheckedPlan = { plan: Plan } | { faults: Fault[] }

/** More faults than this in one file are counted, not listed. */
const FAULTS_PER_FILE = 200

const jsonFields = planSchema.omit({
  places: true,
  precincts: true,
  equipment: true,
  seals: true,
  rovers: true,
  contacts: true,
  steps: true,
  profile: true,
})

function parseJson(text: string): { value: unknown } | { fault: Fault } {
  try {
    return { value: JSON.parse(text.replace(/^\uFEFF/, '')) }
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error)
    const position = /at position (\d+)/.exec(message)?.[1]
    const line = position === undefined ? null : text.slice(0, Number(position)).split('\n').length
    return { fault: { file: 'plan.json', line, column: null, found: '', message: `JSON; ${message}` } }
  }
}

function checkJson(text: string): { value: unknown; fields?: Omit<Plan, TableName>; faults: Fault[] } {
  const read = parseJson(text)
  if ('fault' in read) return { value: undefined, faults: [read.fault] }
  const parsed = jsonFields.safeParse(read.value)
  const faults: Fault[] = (parsed.error?.issues ?? []).map(issue => {
    const found = issue.code === 'unrecognized_keys' ? undefined : valueAt(read.value, issue.path)
    const column = issue.path.length > 0 ? issue.path.map(String).join('.') : null
    return { file: 'plan.json', line: null, column, found: shown(found), message: wordsOf(issue, found) }
  })
  return { value: read.value, fields: parsed.data, faults }
}

/** At most FAULTS_PER_FILE of each file, and how many more there are. */
function bounded(faults: readonly Fault[]): Fault[] {
  const kept: Fault[] = []
  const seen = new Map<string, number>()
  for (const fault of faults) {
    const n = (seen.get(fault.file) ?? 0) + 1
    seen.set(fault.file, n)
    if (n <= FAULTS_PER_FILE) kept.push(fault)
  }
  for (const [file, n] of seen)
    if (n > FAULTS_PER_FILE)
      kept.push({
        file,
        line: null,
        column: null,
        found: '',
        message: `and ${n - FAULTS_PER_FILE} more faults`,
      })
  return kept
}

/**
 * The plan of a folder, or every fault of it at once, file by file. What depends on a file that could not be
 * read is not checked, so one missing file doesn't show as a hundred unknown codes.
 */
export function checkPlan(files: PlanFiles): CheckedPlan {
  const faults: Fault[] = [...files.unread]
  const json = files.json === null ? undefined : checkJson(files.json)
  if (json)
    faults.push(
      ...json.faults,
      ...hoursFaults(json.value),
      ...(json.fields ? policyFaults(json.fields.policy) : []),
    )

  const rows: Rows = {}
  const records: Partial<Record<TableName, unknown[]>> = {}
  for (const name of tableNames) {
    const lines = files.tables[name]
    if (!lines) {
      if (optionalTables.has(name)) records[name] = []
      continue
    }
    const read = recordsOf(name, lines)
    faults.push(...read.faults)
    rows[name] = read.rows
    records[name] = read.records
    if (read.rows.length === 0 && read.faults.length === 0 && rowsNeeded.has(name))
      faults.push({
        file: tables[name].file,
        line: null,
        column: null,
        found: '',
        message: 'at least one row',
      })
  }
  faults.push(
    ...referenceFaults(rows),
    ...stepFaults(rows.steps ?? []),
    ...profileFaults(rows.profile ?? [], json?.value),
    ...receivingFaults(json?.value, rows),
  )
  if (faults.length > 0) return { faults: bounded(faults) }

  const whole = planSchema.safeParse({ ...json?.fields, ...records })
  if (whole.success) return { plan: whole.data }
  return {
    faults: whole.error.issues.map(issue => ({
      file: 'plan.json',
      line: null,
      column: issue.path.map(String).join('.'),
      found: '',
      message: wordsOf(issue, valueAt(json?.value, issue.path)),
    })),
  }
}

const rowsNeeded: ReadonlySet<TableName> = new Set(['places', 'precincts', 'steps', 'profile'])
