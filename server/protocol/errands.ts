import { z } from 'zod'

/**
 * Errands with what goes along with them, for those who go and those who send: GET /api/v1/days/{day}/errands.
 * A rover gets their own; desk and supervisor get all. Where an errand stands comes with the board's patches.
 */
const errandOnWire = z.strictObject({
  id: z.string(),
  rover: z.string(),
  precinct: z.string(),
  is: z.enum(['assigned', 'accepted', 'on-the-way', 'on-site', 'done', 'given-back']),
  assignedAt: z.iso.datetime(),
  acceptedAt: z.iso.datetime().nullable(),
  onTheWayAt: z.iso.datetime().nullable(),
  onSiteAt: z.iso.datetime().nullable(),
  endedAt: z.iso.datetime().nullable(),
  place: z.strictObject({
    code: z.string(),
    name: z.string(),
    address: z.string(),
    latitude: z.number(),
    longitude: z.number(),
  }),
  /** Every precinct of the place: one visit serves all of them. */
  precincts: z.array(z.strictObject({ code: z.string(), name: z.string() })),
  /** What is to be done and brought, in the desk's words; absent where none were written or they were erased. */
  what: z.string().optional(),
  /** How it ended, in the rover's words: the note, or why it was given back. */
  end: z.string().optional(),
})
export type ErrandOnWire = z.output<typeof errandOnWire>

export const errandsAnswer = z.strictObject({
  /** The number that reaches the desk. */
  officePhone: z.string(),
  /** Open ones first, in order of their sending; then the ended ones, latest first. ERRANDS_SHOWN at most. */
  errands: z.array(errandOnWire),
})
export type ErrandsAnswer = z.output<typeof errandsAnswer>

/** Each errand's words are read from the log one by one, so an answer holds so many at most. */
export const ERRANDS_SHOWN = 60
