import {
  bigint,
  boolean,
  customType,
  date,
  doublePrecision,
  jsonb,
  pgTable,
  primaryKey,
  text,
} from 'drizzle-orm/pg-core'
import { type PeopleChange, peopleChangeKinds } from '../server/protocol/peopleChanges.ts'
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
    dated: text(),
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
  replacedAt: ms('replaced_at'),
})

export const enrolCode = pgTable('enrol_code', {
  hash: text().primaryKey(),
  day: text().notNull(),
  precinct: text().notNull(),
  issuedAt: ms('issued_at').notNull(),
  usedAt: ms('used_at'),
  replaces: text(),
})

/**
 * People in the tables of better-auth, whose names for the columns stand on the left: person is its user, credential
 * its account. It speaks in dates; stored are milliseconds like everywhere.
 */
const moment = customType<{ data: Date; driverData: number }>({
  dataType: () => 'bigint',
  toDriver: date => date.getTime(),
  fromDriver: at => new Date(at),
})

export const person = pgTable('person', {
  id: text().primaryKey(),
  name: text().notNull(),
  role: text({ enum: [...roles] }).notNull(),
  post: text(),
  email: text(),
  emailVerified: boolean('email_verified').notNull().default(false),
  image: text(),
  kind: text({ enum: ['person', 'program'] })
    .notNull()
    .default('person'),
  offAt: ms('off_at'),
  ended: bigint({ mode: 'number' }).notNull().default(0),
  createdAt: moment('made_at').notNull().default(new Date(0)),
  updatedAt: moment('changed_at').notNull().default(new Date(0)),
})

export const credential = pgTable('credential', {
  id: text().primaryKey(),
  userId: text('person').notNull(),
  providerId: text('provider').notNull(),
  accountId: text('account').notNull(),
  password: text(),
  createdAt: moment('made_at').notNull(),
  updatedAt: moment('changed_at').notNull(),
})

export const session = pgTable('session', {
  id: text().primaryKey(),
  token: text('hash').notNull(),
  userId: text('person').notNull(),
  expiresAt: moment('expires_at').notNull(),
  createdAt: moment('made_at').notNull(),
  updatedAt: moment('changed_at').notNull(),
  ipAddress: text('address'),
  userAgent: text('agent'),
})

export const signInLink = pgTable('sign_in_link', {
  hash: text().primaryKey(),
  person: text().notNull(),
  expiresAt: ms('expires_at').notNull(),
  usedAt: ms('used_at'),
  purpose: text({ enum: ['sign-in', 'password'] })
    .notNull()
    .default('sign-in'),
})

export const knownBrowser = pgTable('known_browser', {
  hash: text().primaryKey(),
  person: text().notNull(),
  until: ms('until').notNull(),
})

export const apiToken = pgTable('api_token', {
  hash: text().primaryKey(),
  person: text().notNull(),
  madeAt: ms('made_at').notNull(),
  id: text().notNull(),
  label: text().notNull(),
  usedAt: ms('used_at'),
  endedAt: ms('ended_at'),
})

/** Who changed what about people and programs: insert-only. The database gives the position where none is said. */
export const peopleLog = pgTable('people_log', {
  position: bigint({ mode: 'number' }).primaryKey(),
  at: ms('at').notNull(),
  by: text().notNull(),
  kind: text({ enum: Object.keys(peopleChangeKinds) as [PeopleChange['kind']] }).notNull(),
  about: text().notNull(),
  what: jsonb().notNull(),
})
