import type { CustodyChain } from '../../server/protocol/custody.ts'

type Link = CustodyChain['links'][number]
type Gap = Link['gaps'][number]

const ACTS: Record<Link['act'], string> = {
  found: 'looked at',
  removed: 'taken off',
  applied: 'put on',
  opened: 'box opened',
  left: 'left with the return',
  received: 'received',
}

const GAPS: Record<Gap, string> = {
  different: 'another number than was there last',
  broken: 'broken',
  missing: 'missing',
  'open-since': 'open since then: no new seal is on record',
  'not-looked-at': 'nobody compared this seal in the morning',
  'left-unsealed': 'left with no seal on record',
  'not-in-return': 'the precinct did not name this seal with its return',
  'received-different': 'this seal was not among those received',
}

/** "put on E702113", and "looked at, no number" where none is known. */
export function linkWords({ act, number }: Link): string {
  if (act === 'opened') return ACTS.opened
  return number === null ? `${ACTS[act]}, no number known` : `${ACTS[act]}: ${number}`
}

export const gapWords = (gap: Gap): string => GAPS[gap]

/** A container as people call it: its code in words. */
export const containerWords = (container: string): string => container.replaceAll('-', ' ')

/** What the plan says of a container's seal. */
export function plannedWords({ planned, when }: Pick<CustodyChain, 'planned' | 'when'>): string {
  if (planned === null) return 'the plan names no seal'
  return when === 'morning' ? `in the morning ${planned}` : `at closing ${planned}`
}

/** Gaps that belong to no link; before the polls open a seal may still be looked at. */
export function chainGaps(chain: Pick<CustodyChain, 'gaps'>, opened: boolean): Gap[] {
  return chain.gaps.filter(gap => gap !== 'not-looked-at' || opened)
}
