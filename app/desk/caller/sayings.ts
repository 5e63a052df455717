import type { PrecinctKind } from '../../../server/domain/log/kinds.ts'
import type { PlanBrief } from '../../../server/protocol/board.ts'
import { CATEGORIES, TAPE_PROBLEMS } from '../../parts/vocabulary.ts'

/** What a caller can say: each saying, its fields and what they may hold. The form is drawn from this table. */

export type Field = { name: string; label: string; optional?: true; hint?: string } & (
  | { as: 'number' }
  | { as: 'text' }
  /** Several values, apart by commas or lines. */
  | { as: 'list' }
  | { as: 'yes' }
  | { as: 'choice' | 'checks'; options: Options }
  /** A number for each tabulator of the precinct. */
  | { as: 'per-tabulator' }
  /** A notice of the desk to the precinct, by its number. */
  | { as: 'notice' }
  /** Lines of "2 greeter". */
  | { as: 'missing' }
)

export type Option = { value: string; label: string }
type Options = readonly Option[] | 'tabulators' | 'equipment' | 'containers' | 'steps'

export type Saying = { kind: PrecinctKind; label: string; phase: Phase; fields: readonly Field[] }
export const PHASES = { opening: 'Before opening', day: 'While open', close: 'Closing and return' } as const
export type Phase = keyof typeof PHASES

const listed = (words: Record<string, string>): Option[] =>
  Object.entries(words).map(([value, label]) => ({ value, label }))
const categories = listed(CATEGORIES)
const number = (name: string, label: string): Field => ({ name, label, as: 'number' })
const maybe = (name: string, label: string): Field => ({ name, label, as: 'number', optional: true })
const words = (name: string, label = 'In their words'): Field => ({ name, label, as: 'text', optional: true })
const byTwo: Field = { name: 'byTwo', label: 'By two people', as: 'yes', optional: true }
const tabulator: Field = { name: 'tabulator', label: 'Tabulator', as: 'choice', options: 'tabulators' }
const equipment: Field = { name: 'equipment', label: 'Which', as: 'choice', options: 'equipment' }
const items: Field = { name: 'items', label: 'Items', as: 'list', hint: 'apart by commas' }
const seals: Field = { name: 'seals', label: 'Seal numbers', as: 'list', hint: 'apart by commas' }

export const SAYINGS: readonly Saying[] = [
  {
    kind: 'TeamReported',
    label: 'Team here',
    phase: 'opening',
    fields: [
      number('present', 'Present'),
      {
        name: 'missing',
        label: 'Missing',
        as: 'missing',
        optional: true,
        hint: 'how many and which role: 1 greeter',
      },
    ],
  },
  {
    kind: 'StepCompleted',
    label: 'Steps done',
    phase: 'opening',
    fields: [{ name: 'step', label: 'Done', as: 'checks', options: 'steps' }, byTwo],
  },
  {
    kind: 'OpeningTapeVerified',
    label: 'Opening tape verified',
    phase: 'opening',
    fields: [tabulator, byTwo],
  },
  {
    kind: 'OpeningTapeRejected',
    label: 'Opening tape rejected',
    phase: 'opening',
    fields: [
      tabulator,
      { name: 'problems', label: 'What is wrong', as: 'checks', options: listed(TAPE_PROBLEMS) },
      words('what'),
    ],
  },
  {
    kind: 'SealRecorded',
    label: 'Seal',
    phase: 'opening',
    fields: [
      { name: 'container', label: 'Closes', as: 'choice', options: 'containers' },
      { name: 'found', label: 'Number found', as: 'text' },
      {
        name: 'state',
        label: 'State',
        as: 'choice',
        options: listed({ intact: 'intact', broken: 'broken', missing: 'missing' }),
      },
      {
        name: 'act',
        label: 'What was done',
        as: 'choice',
        optional: true,
        options: listed({ removed: 'taken off', applied: 'put on new' }),
      },
    ],
  },
  {
    kind: 'PollsOpened',
    label: 'Polls opened',
    phase: 'opening',
    fields: [{ name: 'withSlot', label: 'With the emergency slot', as: 'yes', optional: true }],
  },
  {
    kind: 'CountsReported',
    label: 'Counts',
    phase: 'day',
    fields: [
      maybe('checkedIn', 'Checked in'),
      { name: 'publicCount', label: 'Public count', as: 'per-tabulator', optional: true },
      maybe('inLine', 'In line'),
      maybe('inSlot', 'In slot'),
      maybe('spoiled', 'Spoiled'),
      maybe('provisional', 'Provisional'),
      maybe('curbside', 'Curbside'),
      maybe('ballotsLeft', 'Ballots left'),
    ],
  },
  {
    kind: 'LineReported',
    label: 'Line',
    phase: 'day',
    fields: [number('inLine', 'In line'), maybe('stationsWorking', 'Stations working')],
  },
  { kind: 'EquipmentWentDown', label: 'Equipment down', phase: 'day', fields: [equipment, words('what')] },
  { kind: 'EquipmentRestored', label: 'Equipment back', phase: 'day', fields: [equipment, words('what')] },
  {
    kind: 'EquipmentReplaced',
    label: 'Equipment replaced',
    phase: 'day',
    fields: [equipment, { name: 'by', label: 'Tag of the new one', as: 'text' }],
  },
  { kind: 'EmergencySlotOpened', label: 'Slot opened', phase: 'day', fields: [byTwo] },
  {
    kind: 'EmergencySlotLocked',
    label: 'Slot locked',
    phase: 'day',
    fields: [maybe('inSlot', 'Ballots in it'), byTwo],
  },
  {
    kind: 'SlotBallotsFed',
    label: 'Slot ballots fed',
    phase: 'day',
    fields: [
      number('fed', 'Fed'),
      maybe('handCounted', 'Hand counted'),
      maybe('handedOver', 'Handed over'),
      byTwo,
      words('note', 'Note'),
    ],
  },
  {
    kind: 'BallotBoxOpened',
    label: 'Ballot box opened',
    phase: 'day',
    fields: [
      {
        name: 'reason',
        label: 'To',
        as: 'choice',
        options: listed({ straighten: 'straighten ballots', remove: 'remove ballots' }),
      },
      { name: 'byTwo', label: 'By two people', as: 'yes' },
      words('note', 'Note'),
    ],
  },
  {
    kind: 'IncidentNoted',
    label: 'Incident',
    phase: 'day',
    fields: [
      { name: 'category', label: 'About', as: 'choice', options: categories },
      { name: 'what', label: 'What happened (no voter is named)', as: 'text' },
      words('resolution', 'What was done'),
    ],
  },
  {
    kind: 'HelpRequested',
    label: 'Asks for help',
    phase: 'day',
    fields: [{ name: 'about', label: 'About', as: 'choice', options: categories }, words('what')],
  },
  {
    kind: 'SuppliesRequested',
    label: 'Asks for supplies',
    phase: 'day',
    fields: [
      {
        name: 'item',
        label: 'Item',
        as: 'choice',
        options: listed({
          ballots: 'ballots',
          pens: 'pens',
          forms: 'forms',
          power: 'power',
          workers: 'standby workers',
          other: 'other',
        }),
      },
      maybe('howMany', 'How many'),
      words('what'),
    ],
  },
  {
    kind: 'NoticeAcknowledged',
    label: 'Notice read',
    phase: 'day',
    fields: [{ name: 'notice', label: 'Which', as: 'notice' }],
  },
  {
    kind: 'PollsSuspended',
    label: 'Voting suspended',
    phase: 'day',
    fields: [{ name: 'cause', label: 'Cause', as: 'choice', options: categories }, words('what')],
  },
  { kind: 'PollsResumed', label: 'Voting resumed', phase: 'day', fields: [] },
  {
    kind: 'PlaceMoved',
    label: 'Place moved',
    phase: 'day',
    fields: [
      { name: 'cause', label: 'Cause', as: 'choice', options: categories },
      { name: 'to', label: 'Where to', as: 'text' },
    ],
  },
  { kind: 'LastVoterServed', label: 'Last voter served', phase: 'close', fields: [] },
  {
    kind: 'PollsClosed',
    label: 'Polls closed',
    phase: 'close',
    fields: [maybe('stillInLine', 'Still in line')],
  },
  {
    kind: 'ClosingTapeSigned',
    label: 'Closing tape signed',
    phase: 'close',
    fields: [tabulator, number('publicCount', 'Public count'), byTwo],
  },
  {
    kind: 'CountsReconciled',
    label: 'Reconciled',
    phase: 'close',
    fields: [
      number('delivered', 'Ballots delivered'),
      number('left', 'Ballots left'),
      number('tabulated', 'Tabulated'),
      number('inSlot', 'In slot'),
      number('spoiled', 'Spoiled'),
      number('provisional', 'Provisional'),
      maybe('challenged', 'Challenged'),
      number('checkedIn', 'Checked in'),
      words('explanation', 'Explanation of a difference'),
    ],
  },
  {
    kind: 'ReturnDeparted',
    label: 'Return left',
    phase: 'close',
    fields: [number('carriers', 'Carriers'), items, seals],
  },
  {
    kind: 'ReturnReceived',
    label: 'Return received',
    phase: 'close',
    fields: [items, seals, words('note', 'Note')],
  },
]

export const sayingOf = (kind: PrecinctKind): Saying => SAYINGS.find(s => s.kind === kind)!

const named = (e: { tag: string; label: string }): Option => ({
  value: e.tag,
  label: e.label ? `${e.label} (${e.tag})` : e.tag,
})

/** What a choice offers at this precinct. */
export function optionsOf(options: Options, plan: PlanBrief, precinct: string): readonly Option[] {
  if (options === 'tabulators') return (plan.tabulators[precinct] ?? []).map(named)
  if (options === 'equipment') return (plan.equipment[precinct] ?? []).map(named)
  if (options === 'containers') return (plan.containers[precinct] ?? []).map(c => ({ value: c, label: c }))
  if (options === 'steps')
    return plan.steps.filter(s => s.completedBy === 'step').map(s => ({ value: s.code, label: s.title }))
  return options
}
