import { bigint, boolean, date, doublePrecision, pgTable, primaryKey, text } from 'drizzle-orm/pg-core'
import { roles } from '../server/protocol/roles.ts'

/**
 * The tables as drizzle sees them. What makes them is db/migrations (triggers and grants can't be said here);
 * tests/server/dayLogSchema.pg.test.ts compares the two. Instants are milliseconds.
 */
const ms = (name: string) => bigint(name, { mode: 'number' })

export const plan = pgTable('plan', {
  hash: text().primaryKey(),
  json: text().notNull(),
  importedAt: ms('imported_at').notNull(),
})

export const day = pgTable('day', {
  id: text().primaryKey(),
  county: text().notNull(),
  name: text().notNull(),
  kind: text({ enum: ['election', 'practice'] }).notNull(),
  date: date().notNull(),
  timeZone: text('time_zone').notNull(),
  planHash: text('plan_hash').notNull(),
  openedAt: ms('opened_at'),
  closedAt: ms('closed_at'),
  speed: doublePrecision().notNull().default(1),
  clockAt: ms('clock_at'),
  seed: bigint({ mode: 'number' }),
})

export const head = pgTable('head', {
  day: text().primaryKey(),
  position: bigint({ mode: 'number' }).notNull(),
  hash: text().notNull(),
  recordedAt: ms('recorded_at').notNull(),
  revision: bigint({ mode: 'number' }).notNull(),
})

export const entry = pgTable(
  'entry',
  {
    day: text().notNull(),
    position: bigint({ mode: 'number' }).notNull(),
    source: text().notNull(),
    number: bigint({ mode: 'number' }),
    content: bigint({ mode: 'bigint' }),
    precinct: text(),
    recordedAt: ms('recorded_at').notNull(),
    text: text().notNull(),
    hash: text().notNull(),
  },
  t => [primaryKey({ columns: [t.day, t.position] })],
)

export const detail = pgTable(
  'detail',
  {
    day: text().notNull(),
    position: bigint({ mode: 'number' }).notNull(),
    salt: text(),
    words: text(),
  },
  t => [primaryKey({ columns: [t.day, t.position] })],
)

export const refused = pgTable(
  'refused',
  {
    day: text().notNull(),
    source: text().notNull(),
    number: bigint({ mode: 'number' }).notNull(),
    content: bigint({ mode: 'bigint' }).notNull(),
    receivedAt: ms('received_at').notNull(),
    sent: text().notNull(),
    problems: text().notNull(),
    aside: boolean().notNull(),
  },
  t => [primaryKey({ columns: [t.day, t.source, t.number, t.content] })],
)

export const device = pgTable('device', {
  id: text().primaryKey(),
  day: text().notNull(),
  precinct: text().notNull(),
  keyHash: text('key_hash').notNull(),
  label: text().notNull(),
  enrolledAt: ms('enrolled_at').notNull(),
  revokedAt: ms('revoked_at'),
})

export const enrolCode = pgTable('enrol_code', {
  hash: text().primaryKey(),
  day: text().notNull(),
  precinct: text().notNull(),
  issuedAt: ms('issued_at').notNull(),
  usedAt: ms('used_at'),
})

export const person = pgTable('person', {
  id: text().primaryKey(),
  name: text().notNull(),
  role: text({ enum: [...roles] }).notNull(),
  post: text(),
})

export const signInLink = pgTable('sign_in_link', {
  hash: text().primaryKey(),
  person: text().notNull(),
  expiresAt: ms('expires_at').notNull(),
  usedAt: ms('used_at'),
})

export const session = pgTable('session', {
  hash: text().primaryKey(),
  person: text().notNull(),
  expiresAt: ms('expires_at').notNull(),
})

export const apiToken = pgTable('api_token', {
  hash: text().primaryKey(),
  person: text().notNull(),
  madeAt: ms('made_at').notNull(),
})
