import { z } from 'zod'
import { code, words } from './fields.ts'

export type ErrandKind = keyof typeof errandKinds

export function isErrandKind(kind: string): kind is ErrandKind {
  return Object.hasOwn(errandKinds, kind)
}

/** Name of an errand, its own in the day: the id of the command that began it. */
export const errandId = z.string().min(1).max(60)

/**
 * A rover's errand to the place of a precinct, from being sent to its end. The entry's precinct is the one whose
 * matter it is; other precincts of the same place share the visit. Decided at the desk or on the rover's phone:
 * they count in the log's order, like everything that people decide.
 */
export const errandKinds = {
  /** `what`: what is to be done and brought, in the desk's words. */
  RoverAssigned: {
    version: 1,
    erasable: ['what'],
    body: z.strictObject({ errand: errandId, rover: code, what: words.optional() }),
  },
  RoverAccepted: { version: 1, erasable: [], body: z.strictObject({ errand: errandId, rover: code }) },
  RoverOnTheWay: { version: 1, erasable: [], body: z.strictObject({ errand: errandId, rover: code }) },
  RoverArrived: { version: 1, erasable: [], body: z.strictObject({ errand: errandId, rover: code }) },
  RoverFinished: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({ errand: errandId, rover: code, note: words.optional() }),
  },
  RoverGaveBack: {
    version: 1,
    erasable: ['why'],
    body: z.strictObject({ errand: errandId, rover: code, why: words.optional() }),
  },
} as const
