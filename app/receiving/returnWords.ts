import type { ReturnOnWire } from '../../server/protocol/returns.ts'
import { returning } from '../precinct/words/en/closing.ts'

/** Words of returns: on the list, at the check-in, on the receipt. */

const NAMES: Record<string, string> = {
  ...returning.list,
  'ballot-box': 'Ballot box',
  'return-bag': 'Return bag',
}

/** What usually comes back: common practice; offered where the precinct didn't say what it sent. */
export const USUAL: readonly string[] = Object.keys(returning.list)

/** What an item is called: its own words, or its code read aloud. */
export function itemName(code: string): string {
  if (Object.hasOwn(NAMES, code)) return NAMES[code]!
  const plain = code.replace(/[-_]+/g, ' ').trim()
  return plain === '' ? code : plain[0]!.toUpperCase() + plain.slice(1)
}

export const people = (n: number) => (n === 1 ? '1 person' : `${n} people`)
export const counted = (n: number, one: string) => (n === 1 ? `1 ${one}` : `${n} ${one}s`)

/** Where a return is, as its line says it. */
export type Where = 'overdue' | 'said' | 'under-way' | 'not-left' | 'received'

export function whereOf(one: ReturnOnWire, now: number): Where {
  if (one.received) return one.received.via === 'desk' ? 'received' : 'said'
  if (now >= Date.parse(one.overdueAt)) return 'overdue'
  return one.departedAt === null ? 'not-left' : 'under-way'
}

export function differs(one: Pick<ReturnOnWire, 'difference'>): boolean {
  return one.difference !== null && Object.values(one.difference).some(list => list.length > 0)
}

/** Each way in which it differs as a sentence; empty: it doesn't. */
export function differenceWords(difference: ReturnOnWire['difference']): string[] {
  if (difference === null) return []
  const { itemsMissing, itemsExtra, sealsMissing, sealsExtra } = difference
  const said: Array<[readonly string[], string]> = [
    [itemsMissing.map(itemName), 'Not here, but said to be sent'],
    [itemsExtra.map(itemName), 'Here, but nobody said it was sent'],
    [sealsMissing, 'Seal that should be on it and was not found'],
    [sealsExtra, 'Seal that was found and should not be on it'],
  ]
  return said.filter(([list]) => list.length > 0).map(([list, words]) => `${words}: ${list.join(', ')}.`)
}

/** How the comparison came out, in a few words. */
export function comparedWords(one: ReturnOnWire): string {
  if (one.received && one.received.via !== 'desk') return 'not checked in, not compared'
  if (one.difference === null) return 'nothing to compare with'
  return differs(one) ? 'differs' : one.sent.said ? 'all as sent' : 'seals as planned'
}
