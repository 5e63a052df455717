import { readFileSync } from 'node:fs'

/** A published value to check against: tests/reference/statistics.csv, each row with its source. */
export type Published = { inputs: string; quantity: string; value: number; source: string }

const rows = readFileSync(new URL('../../reference/statistics.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map(line => [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map(m => m[1] ?? m[2]!))

/** Rows of a topic; a topic that isn't there is a mistake in the test. */
export function published(topic: string): Published[] {
  const found = rows.filter(row => row[0] === topic)
  if (found.length === 0) throw new Error(`no published values of ${topic}`)
  return found.map(([, inputs, quantity, value, source]) => ({
    inputs: inputs!,
    quantity: quantity!,
    value: Number(value),
    source: source!,
  }))
}

/** A named number of a row's inputs: `mean` of `mean=15 sd=5`. */
export function inputOf({ inputs }: Published, name: string): number {
  const found = new RegExp(`(?:^| )${name}=(-?[\\d.]+)`).exec(inputs)
  if (!found) throw new Error(`no ${name} in ${inputs}`)
  return Number(found[1])
}
