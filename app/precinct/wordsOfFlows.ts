/** The questions of the precinct page. Times are county time, H:MM. */

export const TEAM = {
  present: 'How many workers are here now?',
  presentHelp: (n: number) => `The plan has ${n} for this precinct.`,
  missing: 'Who is missing?',
  missingHelp: 'Tick each role that is not filled.',
  nobody: 'Nobody is missing',
  /** Common practice; the roles of the plan's contacts come first. */
  roles: [
    'precinct lead',
    'check-in',
    'ballots',
    'booths and line',
    'tabulator',
    'accessible station',
    'other worker',
  ],
  howMany: (role: string) => `How many are missing: ${role}?`,
  done: 'Team reported',
}

export const STEP = {
  isDone: 'Is this done?',
  yes: 'Yes, it is done',
  notYet: 'Not yet',
  two: 'Two people do this together',
  done: 'Step reported',
}

export const SEAL = {
  state: (what: string) => `How is the seal on the ${what}?`,
  intact: 'In place and whole',
  broken: 'Broken or cut',
  missing: 'There is none',
  found: (what: string) => `What number is on the seal of the ${what}?`,
  foundHelp: 'Read it from the seal itself, not from a list.',
  done: 'Seal recorded',
  doneHelp: 'The office compares it with its record. If it differs, they call you.',
  stop: (what: string) => `Do not go on with the ${what}`,
  stopHelp: 'Leave it as it is, with two people beside it, and call the office now.',
  none: 'none',
}

export const TAPE = {
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
  verified: 'Tape verified',
  verifiedHelp: 'Leave the tape attached, as your county’s procedure says.',
  rejected: (label: string) => `Keep ${label} out of use`,
  rejectedLines: (opens: string) => [
    'Call the office now.',
    `Polls still open at ${opens}. A tabulator in doubt is never a reason to keep them shut: ballots go in the emergency slot, as your county’s procedure says.`,
  ],
}

export const OPEN = {
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
  done: 'Polls are open',
}

export const COUNTS = {
  checkedIn: 'How many voters are checked in so far?',
  checkedInHelp: 'The last check-in number of the day.',
  publicCount: (label: string) => `What is the public count of ${label}?`,
  publicHelp: 'The counter on the tabulator that everybody may see.',
  more: 'Anything else to count?',
  noMore: 'No, tell the office',
  addMore: 'Yes: ballots left, spoiled, others',
  ballotsLeft: 'How many unused ballots are left?',
  spoiled: 'How many ballots are spoiled so far?',
  provisional: 'How many provisional ballots so far?',
  curbside: 'How many voted at the curb so far?',
  inSlot: 'How many ballots are in the emergency slot?',
  skip: 'Not known now',
  last: (n: number, at: string | null) => (at === null ? `The office has ${n}` : `Last said: ${n} at ${at}`),
  less: (n: number, last: number) => `${n} is less than ${last} said before. Which is right?`,
  more_: (n: number, last: number) => `${n} is more than ${last} said before. Which is right?`,
  sure: (n: number) => `${n} is right`,
  again: 'Type it again',
  done: 'Counts reported',
}

export const LINE = {
  inLine: 'How many people are in line to check in?',
  inLineHelp: 'Count to the very end, outdoors too.',
  stations: 'How many check-in stations are working?',
  skip: 'Leave it out',
  done: 'Line reported',
}

export const EQUIPMENT = {
  stopped: (label: string) => `Has ${label} stopped working?`,
  yesStopped: 'Yes, it has stopped',
  what: 'What does it show or do?',
  whatHelp: 'Its message, word for word, helps the office most.',
  skip: 'Leave it out',
  works: (label: string) => `Is ${label} working again?`,
  same: 'Yes, the same one works',
  other: 'Another one is in its place',
  by: 'What is the tag of the one in its place?',
  byHelp: 'It stands on the asset sticker.',
  no: 'No',
  downDone: (label: string) => `${label} is reported down`,
  slotNow: 'Open the emergency slot now, so that nobody has to wait.',
  accessible: 'Call the office now: some voters cannot vote by themselves without it.',
  toSlot: 'Emergency slot opened',
  backDone: (label: string) => `${label} is reported working`,
  lockNow: 'The emergency slot is still open. Lock it now that the tabulator works.',
  toLock: 'Emergency slot locked',
}

export const SLOT = {
  two: 'Two people open or lock the slot together',
  opened: 'Emergency slot is open',
  openedHelp: 'Count the ballots put in, if your county’s procedure says so.',
  inSlot: 'How many ballots are in the slot now?',
  notCounted: 'Not counted',
  locked: 'Emergency slot is locked',
  lockedHelp: 'Ballots in it are fed later by two people, as your county’s procedure says.',
  fed: 'How many slot ballots did the tabulator take?',
  hand: 'How many could not be read and are set aside for hand counting?',
  over: 'How many were handed over uncounted?',
  overNote: 'To whom, and why? By role, no names.',
  none: 'None',
  tooMany: (n: number, inSlot: number) =>
    `That makes ${n}, but only ${inSlot} should be in the slot. Which is right?`,
  sure: (n: number) => `${n} is right`,
  twoFed: 'Two people, of different parties where your county asks for it, did this together',
  fedDone: 'Slot ballots reported',
}

export const INCIDENT = {
  category: 'What kind of thing is it?',
  what: 'What happened?',
  whatHelp: 'Facts, in a few words. Never a voter’s name, telephone or address.',
  resolution: 'How did it end, or what was done?',
  skip: 'Not ended yet',
  done: 'Incident noted',
}

export const HELP = {
  about: 'What is it about?',
  what: 'What should the office know before they call?',
  whatHelp: 'Never a voter’s name, telephone or address.',
  skip: 'Leave it out',
  done: 'The office is asked to call you',
  doneHelp: 'If it cannot wait, call them yourself.',
}

export const SUPPLIES = {
  item: 'What is running short?',
  items: {
    ballots: 'Ballots',
    pens: 'Pens',
    forms: 'Forms or envelopes',
    power: 'Power: cable, extension, battery',
    other: 'Something else',
  },
  howMany: 'How many do you need?',
  unknown: 'Hard to say',
  what: 'Which kind, and by when?',
  whatOther: 'What do you need?',
  whatHelp: 'In a few words. No names.',
  skip: 'Leave it out',
  done: 'The office knows what you need',
  doneBallots: 'If you may run out before they come, call now.',
}

export const BOX = {
  reason: 'The ballot box was opened. What for?',
  straighten: 'To straighten ballots',
  remove: 'To take ballots out',
  two: 'Two people, of different parties where your county asks for it, opened and locked it together',
  note: 'Anything the record should say?',
  noteHelp: 'For example the new seal’s number. Nobody counts or looks at ballots. No names.',
  skip: 'Nothing more',
  done: 'Opening of the ballot box is on record',
  doneHelp: 'Record the new seal under Seals, if the box carries one.',
  toSeals: 'Seals',
  alone: 'A ballot box is opened by two people together',
  aloneHelp: 'Close it, stay beside it, get a second person, and call the office now.',
}

export const SUSPEND = {
  cause: 'Voting has stopped. Why?',
  what: 'What happened?',
  skip: 'Leave it out',
  done: 'The office is told that voting has stopped',
  doneHelp: 'Call the office now. Write down when it stopped, and who was in line.',
  resume: 'Are people voting again?',
  yes: 'Yes, voting goes on',
  no: 'Not yet',
  resumed: 'The office is told that voting goes on',
}

export const CLOSE = {
  early: (now: string, closes: string) =>
    `It is ${now}. Polls close by law at ${closes}, not before. What is so?`,
  notYet: 'They are still open',
  closed: 'They are closed',
  earlyNote: 'The office will ask you about it',
  close: 'Are the polls closed?',
  closeHelp: 'Mark the end of the line first: everybody who stands in it now votes.',
  yes: 'Yes, closed',
  inLine: 'How many are still in line to vote?',
  done: 'Polls are closed',
  doneHelp: 'Everybody who was in line votes. Then go on with the closing steps.',
  last: 'Has everybody in line voted?',
  lastYes: 'Yes, the last voter is served',
  lastDone: 'Last voter served',
}

export const CLOSING_TAPE = {
  publicCount: (label: string) => `What is the last public count of ${label}?`,
  two: 'The closing tape is printed and signed by two people',
  done: 'Closing tape reported',
}

export const RECONCILE = {
  delivered: 'How many ballots were delivered in all?',
  deliveredHelp: (n: number) => `The plan has ${n}.`,
  left: 'How many unused ballots are left?',
  tabulated: 'How many ballots did the tabulators count?',
  tabulatedHelp: 'All public counts together.',
  inSlot: 'How many ballots are in the slot, not fed?',
  spoiled: 'How many are spoiled?',
  provisional: 'How many provisional?',
  challenged: 'How many are challenged?',
  checkedIn: 'How many voters checked in?',
  ballots: (used: number, found: number) =>
    `Used ballots: ${used}. Tabulated, slot, spoiled, provisional and challenged: ${found}.`,
  voters: (checkedIn: number, voted: number) =>
    `Voters checked in: ${checkedIn}. Ballots tabulated or in the slot: ${voted}.`,
  explain: 'The numbers differ. What explains it?',
  explainHelp: 'Count again first if you can. No names.',
  cannot: 'It is not explained',
  two: 'Two people compared the numbers',
  done: 'Counts reported as reconciled',
  doneDiffers: 'The office sees the difference and will ask about it.',
}

export const RETURN = {
  carriers: 'How many people carry the materials?',
  carriersHelp: 'Often two, of different parties. Count them, no names.',
  items: 'What goes with them?',
  nothing: 'None of these',
  seals: 'Which seal numbers are on what they carry?',
  sealsHelp: 'One number a line.',
  skip: 'No seals',
  done: 'The office expects your return',
  doneHelp: 'Stay with the materials until they are received and you have the receipt.',
  /** What goes back to the county: common practice; the office compares with its own list. */
  list: {
    'ballots-voted': 'Voted ballots',
    'ballots-unused': 'Unused ballots',
    'ballots-spoiled': 'Spoiled ballots',
    provisional: 'Provisional envelopes',
    'memory-device': 'Memory device',
    tapes: 'Tapes',
    roster: 'Roster or pollbooks',
    log: 'Incident log',
    keys: 'Keys',
  } as Record<string, string>,
}
