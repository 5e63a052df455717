import { readPlanFiles } from '../../../server/cli/planFiles.ts'
import { faultLine } from '../../../server/domain/plan/checkFault.ts'
import { type TableName, tables } from '../../../server/domain/plan/csv.ts'
import type { Plan } from '../../../server/domain/plan/plan.ts'
import { goodJson, goodTables } from './checkSupport.ts'

/** The small good plan as the texts of its files; plan.json has a field a line, as people write it. */
export const goodTexts: Readonly<Record<string, string>> = {
  'plan.json': JSON.stringify(goodJson, null, 2),
  ...Object.fromEntries(
    Object.entries(goodTables).map(([name, text]) => [tables[name as TableName].file, text]),
  ),
}

export type Files = Record<string, string | Uint8Array | null>

/** The plan of the good files with some of them changed (null: left out), or its faults as lines. */
export function read(changed: Files): { plan: Plan } | { faults: string[] } {
  const files = Object.entries({ ...goodTexts, ...changed }).flatMap(([name, content]) =>
    content === null
      ? []
      : [{ name, bytes: typeof content === 'string' ? new TextEncoder().encode(content) : content }],
  )
  const checked = readPlanFiles(files)
  return 'plan' in checked ? checked : { faults: checked.faults.map(faultLine) }
}

/** Faults where one text of one file is replaced by another; the text must stand there once or first. */
export function replaced(file: string, from: string, to: string): string[] {
  const text = goodTexts[file]!
  if (!text.includes(from)) throw new Error(`${file} has no ${from}`)
  const found = read({ [file]: text.replace(from, () => to) })
  return 'faults' in found ? found.faults : []
}
