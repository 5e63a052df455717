/** Seals that are taken off and put on, the chain of custody, and notices of the office. */

export const sealing = {
  off: (what: string) => `What number was on the seal you took off the ${what}?`,
  offHelp: 'Read it from the seal itself. Keep the seal, as your county’s procedure says.',
  on: (what: string) => `What number is on the new seal of the ${what}?`,
  onHelp: 'Read it from the seal itself, not from a list.',
  again: (found: string) => `You typed ${found}, and another number is expected. Read the seal again.`,
  offDone: 'Seal taken off, on record',
  offNext: 'If something is closed again, put a new seal on and record it.',
  onDone: 'New seal on record',
  differs: (what: string) => `Another number was expected on the ${what}`,
  differsHelp: 'What you typed is on record. Stay there with two people, and call the office now.',
  toOn: 'New seal put on',
}

export const custody = {
  title: 'Seals and custody',
  lead: 'Each container, from its first seal of the day to now.',
  nothing: 'Nothing on record yet.',
  fine: 'No gap on record.',
  acts: {
    found: (number: string) => `looked at: ${number}`,
    applied: (number: string) => `seal put on: ${number}`,
    removed: (number: string) => `seal taken off: ${number}`,
    opened: 'opened by people',
    left: (number: string) => `left with the return: ${number}`,
    received: (number: string) => `received: ${number}`,
  },
  noNumber: 'no number',
  onRecord: 'its number is on record',
  gaps: {
    different: 'another number was expected',
    broken: 'the seal was broken',
    missing: 'there was no seal',
    'open-since': 'open since then: no new seal is on record',
    'not-looked-at': 'nobody looked at the morning’s seal',
    'left-unsealed': 'left, and no seal is on record',
    'not-in-return': 'its seal was not named with the return',
    'received-different': 'its seal was not among those received',
  },
  look: 'Look at its seal',
  off: 'Seal taken off',
  on: 'New seal put on',
}

export const notices = {
  title: 'From the {office}',
  today: 'Notices of today',
  at: (time: string) => `At ${time}`,
  read: 'We have read it',
  close: 'Close',
  isRead: 'read',
  waiting: (n: number) =>
    n === 1 ? 'A notice of the office. Read it' : `${n} notices of the office. Read them`,
}
