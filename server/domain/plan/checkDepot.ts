import { type CheckedJson, JSON_FILE } from './checkJson.ts'
import { type Rows, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'
import { didYouMean } from './nearest.ts'

/** A depot of plan.json that places.csv doesn't have. */
export function depotFaults(json: CheckedJson | null, rows: Rows, faults: FaultList): void {
  const named = json?.good.depot
  if (!json || named === undefined || !rows.places) return
  const known = rows.places.flatMap(({ value }) => (typeof value.code === 'string' ? [value.code] : []))
  if (known.includes(named)) return
  faults.add(
    JSON_FILE,
    json.lineOf(['depot']),
    'depot',
    named,
    () => `a code that stands in ${tables.places.file}${didYouMean(named, known)}`,
  )
}
