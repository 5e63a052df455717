import { z } from 'zod'

/**
 * The form of a backup: gzip of JSON Lines, one after another
 * - a header: form, schema version, when, the tables with their columns, the heads of the days;
 * - one array a row: the table's name and each column as Postgres writes it as text, or null;
 * - an end: rows of each table, and the SHA-256 of all lines before it.
 *
 * gzip has bits that it doesn't check (its header, what fills up its last byte). So a second gzip member follows,
 * stored and of fixed length, that holds the SHA-256 of every byte before it: not one bit can differ unnoticed.
 * `zcat FILE` shows all of it.
 */
export const FORM = 1

export const LIMITS = {
  /** One line; the longest that we write is a plan, some megabytes for thousands of precincts. */
  lineBytes: 32 * 1024 * 1024,
  /** Unpacked to packed. Each entry brings a hash, which packs to 32 bytes of some 500: ours stay below 20. */
  ratio: 100,
  /** So much may be unpacked before the ratio is looked at. */
  firstBytes: 16 * 1024 * 1024,
} as const

const sha256 = z.string().regex(/^[0-9a-f]{64}$/)
const headOfDay = z.strictObject({ day: z.string(), position: z.int().min(0), hash: sha256 })
export type HeadOfDay = z.output<typeof headOfDay>

export const header = z.strictObject({
  sunup: z.literal('backup'),
  form: z.int().min(1),
  /** The last migration of the database it was made from. */
  schema: z.int().min(1),
  madeAt: z.iso.datetime(),
  /** Fingerprint of what changes: two backups with the same one hold the same. */
  state: z.string(),
  days: z.array(headOfDay),
  tables: z.record(z.string(), z.array(z.string())),
})
export type Header = z.output<typeof header>

export const end = z.strictObject({
  end: z.strictObject({ rows: z.record(z.string(), z.int().min(0)), sha256 }),
})

export const row = z.array(z.string().nullable()).min(2)
