import type { z } from 'zod'
import { contact, equipment, place, precinct, profileRow, rover, seal, step, style } from './plan.ts'
import { card } from './precinctPage.ts'

/** The tables of a plan folder: one CSV file with a header row for each. Columns are named like the plan's fields. */

/** What a cell holds; `time` is a local time, `number` may have a fraction, `whole` may not. */
export type Cell = 'text' | 'number' | 'whole' | 'time' | 'list' | 'yes-no'
export type Column = { cell: Cell; optional?: true }
export type Table = {
  file: string
  record: z.ZodObject
  columns: Record<string, Column>
  /** More rows are refused. */
  rows: number
  /** Gives a row what it may leave out because another of its cells says so. */
  fill?: (value: Record<string, unknown>) => void
}

const text: Column = { cell: 'text' }
const number: Column = { cell: 'number' }
const whole: Column = { cell: 'whole' }
const time: Column = { cell: 'time' }

export const tables = {
  precincts: {
    file: 'precincts.csv',
    record: precinct,
    columns: {
      code: text,
      name: text,
      place: text,
      registered: whole,
      expected: whole,
      ballots: whole,
      stations: whole,
      booths: whole,
      workers: whole,
      serves: { cell: 'text', optional: true },
      counted: { cell: 'text', optional: true },
      sheets: { cell: 'whole', optional: true },
    },
    rows: 20_000,
    fill: value => {
      if (value.serves === 'everyone' && value.registered === undefined) value.registered = 0
    },
  },
  places: {
    file: 'places.csv',
    record: place,
    columns: {
      code: text,
      name: text,
      address: { cell: 'text', optional: true },
      latitude: number,
      longitude: number,
      phone: { cell: 'text', optional: true },
      area: { cell: 'text', optional: true },
      line: { cell: 'text', optional: true },
    },
    rows: 20_000,
  },
  equipment: {
    file: 'equipment.csv',
    record: equipment,
    columns: { tag: text, precinct: text, kind: text, label: { cell: 'text', optional: true } },
    rows: 200_000,
  },
  seals: {
    file: 'seals.csv',
    record: seal,
    columns: { precinct: text, container: text, number: text, phase: { cell: 'text', optional: true } },
    rows: 200_000,
  },
  rovers: {
    file: 'rovers.csv',
    record: rover,
    columns: { code: text, name: text, phone: text, base: text, skills: { cell: 'list', optional: true } },
    rows: 2_000,
  },
  contacts: {
    file: 'contacts.csv',
    record: contact,
    columns: { precinct: text, role: text, name: text, phone: text },
    rows: 100_000,
  },
  steps: {
    file: 'steps.csv',
    record: step,
    columns: {
      code: text,
      phase: text,
      title: text,
      after: { cell: 'list' },
      medianMinutes: number,
      p90Minutes: number,
      byTwo: { cell: 'yes-no', optional: true },
      completedBy: { cell: 'text', optional: true },
      guide: { cell: 'text', optional: true },
      how: { cell: 'text', optional: true },
      see: { cell: 'text', optional: true },
      titleEs: { cell: 'text', optional: true },
      howEs: { cell: 'text', optional: true },
      seeEs: { cell: 'text', optional: true },
    },
    rows: 100,
  },
  profile: {
    file: 'profile.csv',
    record: profileRow,
    columns: { from: time, to: time, share: number },
    rows: 200,
  },
  styles: {
    file: 'styles.csv',
    record: style,
    columns: { precinct: text, style: text, name: text, share: number, ballots: whole },
    rows: 200_000,
  },
  cards: {
    file: 'cards.csv',
    record: card,
    columns: {
      code: text,
      title: text,
      text,
      titleEs: { cell: 'text', optional: true },
      textEs: { cell: 'text', optional: true },
      find: { cell: 'list', optional: true },
    },
    rows: 60,
  },
} as const satisfies Record<string, Table>

export type TableName = keyof typeof tables
export const tableNames = Object.keys(tables) as TableName[]
/** A plan folder may do without these. */
export const optionalTables: ReadonlySet<TableName> = new Set(['contacts', 'styles', 'cards'])

/** A line of a CSV file as it was read: the line it begins on, from 1, and its cells. The header is the first. */
export type CsvLine = { line: number; cells: readonly string[] }
/**
 * A record as it stands in the file, whether or not it is fit to be one of the plan: its values as far as they
 * could be read, and its cells' texts.
 */
export type Row = { line: number; value: Record<string, unknown>; raw: Record<string, string> }
export type Rows = Partial<Record<TableName, Row[]>>
export type RecordsOf<T extends TableName> = Array<z.output<(typeof tables)[T]['record']>>
