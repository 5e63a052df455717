import { type Fault, shown } from './checkFault.ts'
import { type Rows, tables } from './csv.ts'

/** Receiving places of plan.json that places.csv doesn't have, or that stand twice. */
export function receivingFaults(json: unknown, rows: Rows): Fault[] {
  const named = (json as { receiving?: unknown } | null | undefined)?.receiving
  if (!Array.isArray(named)) return []
  const known = rows.places && new Set(rows.places.map(row => row.value.code))
  const seen = new Set<unknown>()
  const faults: Fault[] = []
  named.forEach((place, i) => {
    const fault = (message: string) =>
      faults.push({
        file: 'plan.json',
        line: null,
        column: `receiving.${i}`,
        found: shown(place),
        message,
      })
    if (seen.has(place)) fault('stands already in the list; once is enough')
    else if (known && typeof place === 'string' && !known.has(place))
      fault(`a code that stands in ${tables.places.file}`)
    seen.add(place)
  })
  return faults
}
