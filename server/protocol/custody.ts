import { z } from 'zod'
import { code } from '../domain/log/fields.ts'

/** The chain of custody of a precinct's containers: GET /api/v1/days/{day}/precincts/{code}/custody. */

const instant = z.iso.datetime({ offset: true })
const gap = z.enum([
  'different',
  'broken',
  'missing',
  'open-since',
  'not-looked-at',
  'left-unsealed',
  'not-in-return',
  'received-different',
])

const custodyLink = z.strictObject({
  at: instant,
  act: z.enum(['found', 'removed', 'applied', 'opened', 'left', 'received']),
  /** As it was written; null: none is known. */
  number: z.string().nullable(),
  state: z.enum(['intact', 'broken', 'missing']),
  gaps: z.array(gap),
})

const custodyChain = z.strictObject({
  container: code,
  /** The plan's number; null: it names none. */
  planned: z.string().nullable(),
  /** When the plan's seal is looked at or put on. */
  when: z.enum(['morning', 'evening']).nullable(),
  links: z.array(custodyLink),
  /** Of the whole chain: the morning's seal was not compared. Before the polls open that is no gap yet. */
  gaps: z.array(gap),
  /** Whether its seal is different, broken or missing now. */
  wrong: z.boolean(),
  openSince: instant.nullable(),
})
export type CustodyChain = z.output<typeof custodyChain>

export const custodyAnswer = z.strictObject({
  precinct: code,
  /** Whether the morning is over: the polls have been open. */
  opened: z.boolean(),
  containers: z.array(custodyChain),
})
export type CustodyAnswer = z.output<typeof custodyAnswer>
