import { z } from 'zod'
import { code, count, role, sealNumber, tag } from '../log/fields.ts'
import { guideName } from './guides.ts'
import { policy } from './policy.ts'
import { card, titlesByLanguage } from './precinctPage.ts'

/** Local wall time of the county, HH:MM. */
export const hhmm = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'a time as HH:MM, such as 06:30')
const name = z.string().trim().min(1).max(80)
const phone = z.string().trim().min(3).max(30)
const shortText = z.string().trim().min(1).max(300)

export const place = z.strictObject({
  code,
  name,
  address: z.string().trim().max(160).default(''),
  /** Degrees, WGS 84. */
  latitude: z.number().min(-90).max(90),
  longitude: z.number().min(-180).max(180),
  phone: phone.optional(),
  area: z.string().trim().max(60).default(''),
  /** `shared`: one line of voters for all precincts here, counted once; absent or `own`: each has its own. */
  line: z.enum(['own', 'shared']).optional(),
})

export const precinct = z.strictObject({
  code,
  name,
  place: code,
  /** Registered voters; 0 where it serves everyone. */
  registered: count,
  /** Voters expected on this day. */
  expected: count,
  /** Ballots delivered. */
  ballots: count,
  /** Check-in stations. */
  stations: z.int().min(1).max(60),
  booths: z.int().min(1).max(400),
  /** Workers expected. */
  workers: z.int().min(1).max(100),
  /** `everyone`: a vote center, which has no registered voters of its own; absent: `precinct`. */
  serves: z.enum(['precinct', 'everyone']).optional(),
  /** `centrally`: no tabulator stands here, ballots go into a ballot box; absent: `here`. */
  counted: z.enum(['here', 'centrally']).optional(),
  /** Sheets of a ballot, each fed by itself: public counts are sheets. Absent: 1. */
  sheets: z.int().min(1).max(4).optional(),
})

const equipmentKind = z.enum(['tabulator', 'accessible-station', 'pollbook', 'ballot-box', 'tablet'])
export const equipment = z.strictObject({
  tag,
  precinct: code,
  kind: equipmentKind,
  label: z.string().trim().max(60).default(''),
})
export const seal = z.strictObject({
  precinct: code,
  container: code,
  number: sealNumber,
  /** When the seal is there to be looked at; absent: in the morning. A return bag is sealed only in the evening. */
  phase: z.enum(['opening', 'closing']).optional(),
})
export const rover = z.strictObject({
  code,
  name,
  phone,
  base: code,
  skills: z.array(z.string().max(40)).default([]),
})
export const contact = z.strictObject({ precinct: code, role, name, phone })

/** Ballots of one style at a precinct: not every voter there gets the same ballot. */
export const style = z.strictObject({
  precinct: code,
  style: code,
  name,
  /** Share (0–1) of the precinct's voters who need it; those of a precinct sum to at most 1. */
  share: z.number().min(0).max(1),
  /** Ballots of it delivered. */
  ballots: count,
})

export const step = z.strictObject({
  code,
  phase: z.enum(['opening', 'closing']),
  title: name,
  /** Codes of the steps that must be done before. */
  after: z.array(code),
  /** Usual duration in minutes: half of the precincts are faster, one in ten slower than p90. */
  medianMinutes: z.number().positive().max(600),
  p90Minutes: z.number().positive().max(600),
  byTwo: z.boolean().default(false),
  /** Which report completes it. `tape`: the opening tape of every tabulator verified. */
  completedBy: z.enum(['step', 'team', 'seals', 'tape']).default('step'),
  /** Which of the page's guides (drawing, instruction, troubles) goes with it; absent: the one of the step's code. */
  guide: guideName.optional(),
  /** The county's own words, instead of the guide's: what to do, and what must be seen. */
  how: shortText.optional(),
  see: shortText.optional(),
  titleEs: name.optional(),
  howEs: shortText.optional(),
  seeEs: shortText.optional(),
})

/** Share of the day's voters who arrive between two local times. Shares sum to 1. */
export const profileRow = z.strictObject({ from: hhmm, to: hhmm, share: z.number().min(0).max(1) })

export const plan = z.strictObject({
  format: z.literal(1),
  county: name,
  name,
  kind: z.enum(['election', 'practice']),
  date: z.iso.date(),
  timeZone: z.string().min(1).max(60),
  hours: z.strictObject({ report: hhmm, open: hhmm, close: hhmm, returnBy: hhmm }),
  /** The number a precinct rings. */
  officePhone: phone,
  policy,
  places: z.array(place).min(1),
  precincts: z.array(precinct).min(1),
  equipment: z.array(equipment),
  seals: z.array(seal),
  rovers: z.array(rover),
  contacts: z.array(contact),
  steps: z.array(step).min(1),
  profile: z.array(profileRow).min(1),
  /** Codes of the places where returns are checked in; absent: not said, so no arrival is reckoned. */
  receiving: z.array(code).min(1).max(40).optional(),
  /** Code of the place where more ballots are kept; absent: not said, so no trip with them is reckoned. */
  depot: code.optional(),
  /** Absent: every voter of a precinct gets the same ballot. */
  styles: z.array(style).optional(),
  /** Absent: our own cards, as they are. */
  cards: z.array(card).max(60).optional(),
  /** Absent: the usual titles. */
  titles: titlesByLanguage.optional(),
})

export type Plan = z.output<typeof plan>
export type PlannedPrecinct = z.output<typeof precinct>
export type Place = z.output<typeof place>
export type Equipment = z.output<typeof equipment>
export type Style = z.output<typeof style>
export type Step = z.output<typeof step>
export type Contact = z.output<typeof contact>
