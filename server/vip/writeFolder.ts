import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { PlanFiles } from '../domain/plan/check.ts'
import { type CsvLine, tableNames, tables } from '../domain/plan/csv.ts'

/**
 * Writes a plan folder: plan.json, a CSV file for each table, and further texts by their names. The folder must
 * not be there or must be empty: nothing is ever overwritten. Returns why it could not be, or null.
 */
export function writePlanFolder(dir: string, files: PlanFiles, more: Record<string, string>): string | null {
  const texts: Record<string, string> = { 'plan.json': files.json ?? '' }
  for (const name of tableNames) {
    const lines = files.tables[name]
    if (lines) texts[tables[name].file] = csv(lines)
  }
  try {
    if (existsSync(dir) && readdirSync(dir).length > 0)
      return `${dir} is not empty: nothing was written; name a new folder`
    mkdirSync(dir, { recursive: true })
    for (const [file, text] of Object.entries({ ...texts, ...more }))
      writeFileSync(join(dir, file), text, { flag: 'wx' })
    return null
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (typeof code !== 'string') throw error
    return `${dir} can't be written (${code})`
  }
}

function csv(lines: readonly CsvLine[]): string {
  return lines.map(({ cells }) => `${cells.map(cell).join(',')}\n`).join('')
}

/** RFC 4180: quoted where it must be, quotes doubled. */
function cell(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}
