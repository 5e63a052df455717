import { z } from 'zod'
import { code } from '../log/fields.ts'

/** What a plan says for the precinct's own page: kept apart, since the page carries these schemas and not the plan's. */

const name = z.string().trim().min(1).max(80)
const text = z.string().trim().min(1).max(2_000)

/** What the precinct's own page does and asks. */
export const pagePolicy = z.strictObject({
  /** Whether it may make a sound when a count is due, the slot is forgotten or a notice comes. */
  sound: z.boolean().default(false),
  /** Whether phones may be used in the voting room: where not, the page says to step out before calling. */
  phonesInRoom: z.boolean().default(true),
  /** Whether two people are asked to confirm that they are of different parties. */
  twoParties: z.boolean().default(true),
  /** Whether it asks for the names of those who carry the return. */
  carrierNames: z.boolean().default(false),
  /** Whether voting begins with the emergency slot where no tabulator is fit for use at the legal hour. */
  openWithSlot: z.boolean().default(true),
  /** How often it reminds of ballots that still lie in the emergency slot. */
  slotReminderMinutes: z.number().min(0).max(1_440).default(20),
})

/** A card of the quick reference: one of our own replaced (same code), or one more. */
export const card = z.strictObject({
  code,
  title: name,
  /** Paragraphs, a line each. */
  text: text,
  titleEs: name.optional(),
  textEs: text.optional(),
  /** Other words under which it is found. */
  find: z.array(z.string().max(40)).max(40).default([]),
})

export type Card = z.output<typeof card>

/** What the county calls people and its office, in each language of the precinct page. */
const titles = z.strictObject({
  lead: name.optional(),
  worker: name.optional(),
  workers: name.optional(),
  custodian: name.optional(),
  office: name.optional(),
})
export const titlesByLanguage = z.strictObject({ en: titles.optional(), es: titles.optional() })
