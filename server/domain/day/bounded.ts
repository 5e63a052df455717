import { compareStamps } from './stamp.ts'
import { LIMITS, type Stamp } from './state.ts'

/**
 * Lists and tables that don't grow with the day. What is kept depends on what was said, never on the order in
 * which it came: a list keeps the latest by its own order, a table of tags the first by name beside the planned.
 */

/** A new list with one more in its place; of more than `limit` the first ones are left out. */
export function insertSorted<T>(
  list: readonly T[],
  item: T,
  compare: (a: T, b: T) => number,
  limit: number,
): readonly T[] {
  let at = list.length
  while (at > 0 && compare(list[at - 1]!, item) > 0) at--
  if (list.length < limit) return [...list.slice(0, at), item, ...list.slice(at)]
  if (at === 0) return list
  return [...list.slice(list.length - limit + 1, at), item, ...list.slice(at)]
}

/** The same for things that carry a stamp. */
export function insertStamped<T extends Stamp>(list: readonly T[], item: T, limit: number): readonly T[] {
  return insertSorted(list, item, compareStamps, limit)
}

/**
 * A new table with `value` under `key`. Keys that the plan doesn't know are limited: past the limit those last
 * in the alphabet are left out.
 */
export function put<T>(
  table: Readonly<Record<string, T>>,
  key: string,
  value: T,
  isPlanned: (key: string) => boolean,
): Readonly<Record<string, T>> {
  if (Object.hasOwn(table, key) || isPlanned(key)) return withOwn(table, key, value)
  const unplanned = Object.keys(table).filter(k => !isPlanned(k))
  if (unplanned.length < LIMITS.unplanned) return withOwn(table, key, value)
  const last = unplanned.sort().at(-1)!
  if (key > last) return table
  const { [last]: _, ...kept } = table
  return { ...kept, [key]: value }
}

/** A copy with one more; storing after the spread is a third faster than a computed key within it. */
function withOwn<T>(table: Readonly<Record<string, T>>, key: string, value: T): Record<string, T> {
  const copy = { ...table }
  copy[key] = value
  return copy
}

/** A table's own value; undefined for a name that every object has by nature. */
export function own<T>(table: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined
}
