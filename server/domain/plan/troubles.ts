import { z } from 'zod'

/**
 * What can be amiss at a step, as the precinct page's guides name it: common practice of opening and closing a polling
 * place. A call for help carries the name, so the desk has it before the telephone rings, in whatever language the
 * page was read.
 */
export const TROUBLES = {
  'building-locked': 'the building is locked',
  'people-missing': 'workers are missing',
  'ballots-differ': 'ballots delivered differ from the list',
  'pack-count-differs': 'a pack holds more or fewer than it says',
  'wrong-ballots': 'ballots of another precinct',
  'seal-different': 'a seal has another number',
  'seal-broken': 'a seal is broken or missing',
  'box-not-empty': 'the ballot box is not empty',
  'box-not-locking': 'the ballot box does not lock',
  'flap-closed': 'the intake flap is closed or stuck',
  'not-seated': 'the tabulator does not sit on the box',
  'no-power': 'no power',
  'no-sound': 'no sound from the diverter',
  'no-prompt': 'the tabulator shows no prompt',
  'tape-not-printed': 'the tape does not print',
  'tape-wrong': 'the tape is wrong',
  'door-not-closing': 'the memory-device door does not close',
  'seal-short': 'no seal to put on',
  'pollbook-down': 'roster or pollbook not working',
  'accessible-not-working': 'the accessible station does not work',
  'room-short': 'booths, tables or signs are missing',
  'entrance-blocked': 'the entrance or the accessible way is blocked',
  'line-continues': 'people are still in line',
  'closing-tape-not-printed': 'the closing tape does not print',
  'counts-differ': 'the counts differ',
  'memory-stuck': 'the memory device does not come out',
  'items-missing': 'something to be returned is missing',
  'nobody-to-carry': 'nobody to carry the return',
  other: 'something else',
} as const satisfies Record<string, string>

export type Trouble = keyof typeof TROUBLES
export const trouble = z.enum(Object.keys(TROUBLES) as [Trouble, ...Trouble[]])
