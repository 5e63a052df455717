import { createHash } from 'node:crypto'
import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { type CheckedPlan, checkPlan } from '../domain/plan/check.ts'
import type { Fault } from '../domain/plan/checkFault.ts'
import { JSON_FILE } from '../domain/plan/checkJson.ts'
import { type CsvLine, optionalTables, type TableName, tableNames, tables } from '../domain/plan/csv.ts'
import { csvLines } from '../domain/plan/csvText.ts'
import type { Delimiter } from '../domain/plan/dialect.ts'
import { canonicalPlan } from '../domain/plan/hash.ts'
import { didYouMean } from '../domain/plan/nearest.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { FILE_BYTES, JSON_BYTES, textOfBytes } from './planText.ts'

/** A file of a plan as it was handed over: its bytes, or why they could not be read. */
type GivenFile = { name: string; bytes: Uint8Array } | { name: string; unread: string }

const tableOf: ReadonlyMap<string, TableName> = new Map(tableNames.map(name => [tables[name].file, name]))
/** Every file that a plan may have. */
export const planFileNames: readonly string[] = [JSON_FILE, ...tableOf.keys()]

/** Unknown files named one by one; more are counted. */
const MOST_UNKNOWN = 20
/** What operating systems and spreadsheets leave in folders and archives unasked. */
const LEFTOVER = /(^|[/\\])(\.|~\$|__MACOSX[/\\]|Thumbs\.db$|desktop\.ini$)/i

const whole = (file: string, message: string, found = ''): Fault => ({
  file,
  line: null,
  column: null,
  found,
  message,
})

/** The name in its folder, in the spelling that plans use where only case differs. */
function plainName(name: string): string {
  const base = name.split(/[/\\]/).at(-1) ?? name
  const small = base.toLowerCase()
  return planFileNames.includes(small) ? small : base
}

function sorted(files: readonly GivenFile[]): { known: Map<string, GivenFile>; faults: Fault[] } {
  const known = new Map<string, GivenFile>()
  const faults: Fault[] = []
  let unknown = 0
  for (const file of files) {
    if (LEFTOVER.test(file.name)) continue
    const name = plainName(file.name)
    const first = known.get(name)
    if (!planFileNames.includes(name)) {
      unknown += 1
      if (unknown <= MOST_UNKNOWN)
        faults.push(
          whole(
            file.name,
            `no file of a plan; known are ${planFileNames.join(', ')}${didYouMean(name, planFileNames)}`,
          ),
        )
    } else if (first)
      faults.push(whole(file.name, `${name} is here twice (${first.name}); leave one of them out`))
    else known.set(name, file)
  }
  if (unknown > MOST_UNKNOWN)
    faults.push(whole('folder', `and ${unknown - MOST_UNKNOWN} more files that no plan has`))
  return { known, faults }
}

function checked(files: readonly GivenFile[]): CheckedPlan {
  const { known, faults } = sorted(files)
  const textOf = (name: string, most: number): string | null => {
    const file = known.get(name)
    if (!file) {
      const table = tableOf.get(name)
      if (!table || !optionalTables.has(table)) faults.push(whole(name, 'the file is missing'))
      return null
    }
    if ('unread' in file) {
      faults.push(whole(name, file.unread))
      return null
    }
    const read = textOfBytes(file.bytes, most)
    if ('text' in read) return read.text
    faults.push({ file: name, column: null, ...read })
    return null
  }
  const json = textOf(JSON_FILE, JSON_BYTES)
  const read: Partial<Record<TableName, CsvLine[]>> = {}
  const delimiters: Partial<Record<TableName, Delimiter>> = {}
  for (const [file, table] of tableOf) {
    const text = textOf(file, FILE_BYTES)
    if (text === null) continue
    const csv = csvLines(table, text)
    if ('fault' in csv) faults.push(csv.fault)
    else {
      read[table] = csv.lines
      delimiters[table] = csv.delimiter
    }
  }
  return checkPlan({ json, tables: read, delimiters, unread: faults })
}

/**
 * The plan that these files make, or all their faults. Names may carry a folder before them and differ in case;
 * a file that no plan has is a fault, and so is the same file twice. Nothing throws, whatever the bytes are.
 */
export function readPlanFiles(files: ReadonlyArray<{ name: string; bytes: Uint8Array }>): CheckedPlan {
  return checked(files)
}

function fromDisk(dir: string, name: string): GivenFile {
  try {
    const path = join(dir, name)
    const { size } = statSync(path)
    if (size > FILE_BYTES) return { name, unread: `at most ${FILE_BYTES / 1024 / 1024} MB` }
    return { name, bytes: readFileSync(path) }
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    if (typeof code !== 'string') throw error
    return { name, unread: `a file that can be read (${code})` }
  }
}

/**
 * The plan of a folder, or all its faults; a folder or file that is not there is a fault, never an exception.
 * Of the other files that lie there only CSV and JSON files are looked at: a plan's own notes may stay.
 */
export function readPlanFolder(dir: string): CheckedPlan {
  const isFolder = statSync(dir, { throwIfNoEntry: false })?.isDirectory() ?? false
  if (!isFolder) return { faults: [whole(dir, 'a plan folder: there is none here')] }
  const names = readdirSync(dir).filter(name => /\.(csv|json)$/i.test(name) && !LEFTOVER.test(name))
  return checked(names.sort().map(name => fromDisk(dir, name)))
}

/** SHA-256 of the plan's canonical text, 64 hexadecimal digits: what DayOpened pins. */
export function planHash(plan: Plan): string {
  return createHash('sha256').update(canonicalPlan(plan), 'utf8').digest('hex')
}
