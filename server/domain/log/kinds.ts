import type { z } from 'zod'
import { deskKinds } from './kindsOfDesk.ts'
import { errandKinds } from './kindsOfErrand.ts'
import { precinctKinds } from './kindsOfPrecinct.ts'
import { systemKinds } from './kindsOfSystem.ts'

/**
 * The registry of entry kinds. A kind is past tense and is never removed; a change of meaning is version + 1
 * with one step in upcast.ts. `body` is what stands in the log; fields named in `erasable` are taken out of
 * the body before it is hashed and live in the detail table.
 */
export const kinds = { ...precinctKinds, ...deskKinds, ...errandKinds, ...systemKinds }

export type Kind = keyof typeof kinds
export type Body<K extends Kind> = z.output<(typeof kinds)[K]['body']>
export type PrecinctKind = keyof typeof precinctKinds
export type DeskKind = keyof typeof deskKinds
export type SystemKind = keyof typeof systemKinds

export function isPrecinctKind(kind: string): kind is PrecinctKind {
  return Object.hasOwn(precinctKinds, kind)
}

export function isKind(kind: string): kind is Kind {
  return Object.hasOwn(kinds, kind)
}
