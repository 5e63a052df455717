import { type CheckedJson, JSON_FILE } from './checkJson.ts'
import { type Rows, tables } from './csv.ts'
import type { FaultList } from './faultList.ts'

/** Receiving places of plan.json that places.csv doesn't have, or that stand twice. */
export function receivingFaults(json: CheckedJson | null, rows: Rows, faults: FaultList): void {
  const named = json?.good.receiving
  if (!json || !named) return
  const known = rows.places && new Set(rows.places.map(row => row.value.code))
  named.forEach((place, i) => {
    const tell = (message: string) =>
      faults.add(JSON_FILE, json.lineOf(['receiving', i]), `receiving.${i}`, place, message)
    if (named.indexOf(place) < i) tell('stands already in the list; once is enough')
    else if (known && !known.has(place)) tell(`a code that stands in ${tables.places.file}`)
  })
}
