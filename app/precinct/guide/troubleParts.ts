import type { Body } from '../../../server/domain/log/kinds.ts'
import type { GuideName } from '../../../server/domain/plan/guides.ts'
import type { Trouble } from '../../../server/domain/plan/troubles.ts'
import type { Words } from '../words/catalogue.ts'

/** The names of the drawings are those of their titles. */
export type DrawingName = keyof Words['drawings']

export const DRAWING_OF: Readonly<Record<GuideName, DrawingName>> = {
  team: 'team',
  ballots: 'packs',
  seals: 'seal',
  box: 'box',
  tabulator: 'flapOpen',
  tape: 'tape',
  door: 'door',
  'check-in': 'checkIn',
  room: 'room',
  'last-voter': 'line',
  'closing-tape': 'closingTape',
  reconcile: 'sums',
  memory: 'memory',
  pack: 'carriers',
}

type Part = {
  /** What the office's call is about. */
  about: Body<'HelpRequested'>['about']
  drawing: DrawingName
  /** What to do until the office answers. */
  meanwhile: keyof Words['meanwhile']
}

/** What goes with each trouble. Common practice. */
export const TROUBLE_PARTS: Readonly<Record<Trouble, Part>> = {
  'building-locked': { about: 'place-not-open', drawing: 'locked', meanwhile: 'door' },
  'people-missing': { about: 'workers', drawing: 'team', meanwhile: 'goOn' },
  'ballots-differ': { about: 'custody', drawing: 'packs', meanwhile: 'write' },
  'pack-count-differs': { about: 'custody', drawing: 'packs', meanwhile: 'aside' },
  'wrong-ballots': { about: 'supplies', drawing: 'packs', meanwhile: 'aside' },
  'seal-different': { about: 'custody', drawing: 'seal', meanwhile: 'leave' },
  'seal-broken': { about: 'custody', drawing: 'seal', meanwhile: 'leave' },
  'box-not-empty': { about: 'custody', drawing: 'box', meanwhile: 'leave' },
  'box-not-locking': { about: 'custody', drawing: 'boxLocked', meanwhile: 'leave' },
  'flap-closed': { about: 'equipment', drawing: 'flapClosed', meanwhile: 'out' },
  'not-seated': { about: 'equipment', drawing: 'seated', meanwhile: 'out' },
  'no-power': { about: 'power', drawing: 'power', meanwhile: 'outPower' },
  'no-sound': { about: 'equipment', drawing: 'sound', meanwhile: 'out' },
  'no-prompt': { about: 'equipment', drawing: 'prompt', meanwhile: 'out' },
  'tape-not-printed': { about: 'equipment', drawing: 'tape', meanwhile: 'out' },
  'tape-wrong': { about: 'equipment', drawing: 'tape', meanwhile: 'out' },
  'door-not-closing': { about: 'custody', drawing: 'door', meanwhile: 'leave' },
  'seal-short': { about: 'supplies', drawing: 'seal', meanwhile: 'leave' },
  'pollbook-down': { about: 'equipment', drawing: 'checkIn', meanwhile: 'noVote' },
  'accessible-not-working': { about: 'access', drawing: 'room', meanwhile: 'noVote' },
  'room-short': { about: 'supplies', drawing: 'room', meanwhile: 'goOn' },
  'entrance-blocked': { about: 'access', drawing: 'entrance', meanwhile: 'noVote' },
  'line-continues': { about: 'long-line', drawing: 'line', meanwhile: 'line' },
  'closing-tape-not-printed': { about: 'equipment', drawing: 'closingTape', meanwhile: 'keep' },
  'counts-differ': { about: 'custody', drawing: 'sums', meanwhile: 'write' },
  'memory-stuck': { about: 'equipment', drawing: 'memory', meanwhile: 'keep' },
  'items-missing': { about: 'custody', drawing: 'carriers', meanwhile: 'keep' },
  'nobody-to-carry': { about: 'workers', drawing: 'carriers', meanwhile: 'keep' },
  other: { about: 'other', drawing: 'team', meanwhile: 'goOn' },
}
