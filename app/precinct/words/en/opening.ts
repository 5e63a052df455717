/** Questions until the polls are open. */

export const team = {
  present: 'How many {workers} are here now?',
  presentHelp: (n: number) => `The plan has ${n} for this precinct.`,
  missing: 'Who is missing?',
  missingHelp: 'Tick each role that is not filled.',
  nobody: 'Nobody is missing',
  howMany: (role: string) => `How many are missing: ${role}?`,
  standby: 'Ask the office for standby {workers}?',
  standbyYes: 'Yes, ask for them',
  standbyNo: 'No, we can do it',
  standbyAsked: 'The office is asked for standby {workers}.',
  done: 'Team reported',
}

export const step = {
  isDone: 'Is this done?',
  yes: 'Yes, it is done',
  notYet: 'Not yet',
  two: 'Two people do this together',
  done: 'Step reported',
}

export const seal = {
  found: (what: string) => `What number is on the seal of the ${what}?`,
  foundHelp: 'Read it from the seal itself, not from a list.',
  noNumber: 'There is no number to read',
  again: (what: string) => `That is not the expected number. Read the seal of the ${what} again.`,
  againHelp: 'Type it again as it stands on the seal. Look with a second person.',
  state: (what: string) => `Is the seal of the ${what} whole?`,
  why: (what: string) => `Why is there no number on the ${what}?`,
  intact: 'In place and whole',
  broken: 'Broken or cut',
  missing: 'There is no seal',
  agrees: 'The number is the one expected.',
  unknown: 'The office compares the number with its record.',
  differs: 'The number is not the one expected. It is recorded as you typed it.',
  done: 'Seal recorded',
  toSeals: 'All seals',
  stop: (what: string) => `Do not go on with the ${what}`,
  stopHelp: 'Call the office now. Leave it as it is, with two people beside it.',
}

/** A tabulator in doubt. */
export const outOfUse = {
  seal: (label: string) => `Keep ${label} out of use: its seal is not right.`,
  note: { seal: 'out of use: its seal is not right', tape: 'out of use: its tape is not right' },
  goOn: 'Did the office say to go on with it?',
  goOnNo: 'Not yet',
  goOnYes: 'Yes, they said to go on',
}

export const tape = {
  'not-printed': 'Did the opening tape print, whole and readable?',
  'precinct-name': (name: string) => `Does the tape name your precinct: ${name}?`,
  'not-zero': 'Is every total on the tape zero?',
  'public-count': 'Does the tabulator’s public count show 0?',
  'ballot-order': 'Do names and questions stand in the same order as on the ballot?',
  'seal-number': 'Is the seal number written on the tape, and is it the one on the seal?',
  signatures: 'Has everybody signed the tape who must?',
  wrong: 'What is wrong? Tick all that you saw.',
  what: 'What exactly does the tape show?',
  whatHelp: 'In a few words, for the office. You can leave it out.',
  skip: 'Leave it out',
  yes: 'Yes',
  no: 'No',
  verified: 'Tape verified',
  verifiedHelp: 'Leave the tape attached, as your county’s procedure says.',
  rejected: (label: string) => `Keep ${label} out of use. Call the office now.`,
  rejectedOpens: (opens: string) =>
    `Polls still open at ${opens}. A tabulator in doubt is never a reason to keep them shut.`,
}

export const open = {
  early: (now: string, opens: string) =>
    `It is ${now}. Polls open by law at ${opens}, not before. What is so?`,
  notYet: 'They are not open yet',
  areOpen: 'They are open now',
  earlyNote: 'The office will ask you about it',
  open: 'Are voters being let in?',
  late: (opens: string) =>
    `The legal hour was ${opens}. If something keeps you from opening, ask the office to call.`,
  yes: 'Yes, polls are open',
  slot: 'Is the emergency slot open for ballots?',
  slotHelp: (names: string) =>
    `Not verified or not working: ${names}. It stays out of use until the office says otherwise.`,
  slotYes: 'Yes, the slot takes ballots',
  slotNo: 'No, another tabulator takes them',
  slotOther: 'No, we take ballots in another way',
  withSlot: 'If no tabulator is ready, open with the emergency slot.',
  asCounty: 'If no tabulator is ready, do as your county’s procedure says.',
  done: 'Polls are open',
}
