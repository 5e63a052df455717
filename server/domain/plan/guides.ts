import { z } from 'zod'
import type { Trouble } from './troubles.ts'

/**
 * The guides of the precinct page: for each the troubles that its walk-through knows, in the order in which they are
 * asked about. Instructions and drawings are the page's; a step of the plan names its guide, or has its code.
 */
export const GUIDES = {
  team: ['people-missing', 'building-locked', 'other'],
  ballots: ['ballots-differ', 'pack-count-differs', 'wrong-ballots', 'other'],
  seals: ['seal-different', 'seal-broken', 'other'],
  box: ['box-not-empty', 'box-not-locking', 'other'],
  tabulator: ['not-seated', 'flap-closed', 'no-power', 'no-sound', 'no-prompt', 'other'],
  tape: ['tape-not-printed', 'tape-wrong', 'other'],
  door: ['door-not-closing', 'seal-short', 'other'],
  'check-in': ['pollbook-down', 'other'],
  room: ['accessible-not-working', 'room-short', 'entrance-blocked', 'other'],
  'last-voter': ['line-continues', 'other'],
  'closing-tape': ['closing-tape-not-printed', 'counts-differ', 'other'],
  reconcile: ['counts-differ', 'other'],
  memory: ['memory-stuck', 'seal-short', 'other'],
  pack: ['items-missing', 'seal-short', 'nobody-to-carry', 'other'],
} as const satisfies Record<string, readonly Trouble[]>

export type GuideName = keyof typeof GUIDES
export const guideName = z.enum(Object.keys(GUIDES) as [GuideName, ...GuideName[]])

/** The guide of a step: the one it names, else the one of its code; null: it has none. */
export function guideOf(step: { code: string; guide?: GuideName | undefined }): GuideName | null {
  return step.guide ?? (Object.hasOwn(GUIDES, step.code) ? (step.code as GuideName) : null)
}
