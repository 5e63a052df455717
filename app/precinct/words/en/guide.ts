/** The guides of steps: what is drawn, what is done, what must be seen. A county's own words come before these. */

export const guide = {
  see: 'What you must see',
  yes: 'Yes, it is so',
  amiss: 'It is not so',
  notYet: 'Not yet',
  trouble: 'What is not right?',
  atStep: 'At which step is something not right?',
  what: 'What is not right? Say it in a few words.',
  fixed: 'Is it right now?',
  fixedYes: 'Yes, it is right now',
  fixedNo: 'No, it is not',
  fixedDone: 'Good. Go on with the step.',
  call: 'Call the office now',
  ring: (role: string, phone: string) => `Call the ${role}: ${phone}`,
  toldThere: (trouble: string) => `They have it already: ${trouble}.`,
  toldHere: (trouble: string) =>
    `Kept here until there is a connection: ${trouble}. Tell them yourself when you call.`,
  pollsOpen: (opens: string) => `Polls still open at ${opens}.`,
  back: 'Back to the step',
  somethingAmiss: 'Something is not right',
}

export const locked = {
  ask: 'Are you locked out of the building?',
  yes: 'Yes, we cannot get in',
  no: 'No, we are in',
  done: 'Call now, in this order',
  after: 'When you are in, report your team.',
}

export const drawings = {
  team: 'A team stands around a table',
  locked: 'A door with a lock',
  packs: 'Two hands count packs of ballots',
  seal: 'A seal with a number closes a hasp',
  box: 'An empty ballot box seen from above, its lid open',
  boxLocked: 'A ballot box with its lid closed and locked',
  seated: 'A tabulator lies flat on the ballot box',
  flapOpen: 'The flap of the box below the tabulator is open',
  flapClosed: 'The flap of the box is closed and stops the ballot',
  power: 'A plug in a wall outlet, and a lit lamp',
  sound: 'Sound comes from the box below the tabulator',
  prompt: 'The tabulator shows a message',
  tape: 'A tape with only zeros',
  door: 'A small door on the tabulator, closed with a seal',
  checkIn: 'A check-in table with a roster',
  room: 'Voting booths, and a station with a chair and a headset',
  entrance: 'A ramp and a clear way to the door',
  line: 'A line of people; a sign marks its end',
  closingTape: 'A long tape with signatures',
  sums: 'A sheet with sums',
  memory: 'A memory device goes into a bag',
  carriers: 'Two people carry a case',
}

/** By guide. Common practice of opening and closing a polling place. */
/** What the step of each guide is called where the plan has no title in the page's language. */
export const stepTitles = {
  team: 'Team complete and oath taken',
  ballots: 'Ballots and packs counted',
  seals: 'Seals compared with the record',
  box: 'Ballot box seen empty and locked',
  tabulator: 'Tabulator seated, intake flap open, powered',
  tape: 'Opening tape printed and verified',
  door: 'Memory-device door sealed',
  'check-in': 'Check-in ready',
  room: 'Booths, signs and accessible station ready',
  'last-voter': 'Last voter served',
  'closing-tape': 'Tabulator closed, closing tape signed',
  reconcile: 'Counts reconciled',
  memory: 'Memory device taken and sealed',
  pack: 'Materials packed for the return',
}

export const guides = {
  team: {
    how: 'Count who is here. Take the oath together. Give each person a role.',
    see: 'Each role has somebody.',
  },
  ballots: {
    how: 'Two people count the packs. Look at the precinct on the ballots. Compare with the list.',
    see: 'The number is the one on the list. The ballots are for this precinct.',
  },
  seals: {
    how: 'Read each seal where it hangs. Two people look at it.',
    see: 'Each seal is whole. Its number is the expected one.',
  },
  box: {
    how: 'Open each part of the ballot box. Two people look in. Then close it and lock it.',
    see: 'Every part is empty. Every lid is locked.',
  },
  tabulator: {
    how: 'Set the tabulator on the box. Open the flap of the box. Plug it into its own wall outlet. Turn it on and listen.',
    see: 'It lies flat. The flap is open. The lamp is on. You hear the box. It shows its message.',
  },
  tape: {
    how: 'Print the opening tape. Read it line by line. Leave it on the tabulator.',
    see: 'Your precinct’s name, and a zero for every total.',
  },
  door: {
    how: 'Close the small door over the memory device. Put a seal on it. Write down its number.',
    see: 'The door is shut. The seal holds it. The {lead} has the keys.',
  },
  'check-in': {
    how: 'Set up the check-in table. Turn on the pollbooks, or lay out the paper roster.',
    see: 'The roster is for this precinct. Each station works.',
  },
  room: {
    how: 'Set up the booths and the accessible station. Hang the signs. Clear the way from the street.',
    see: 'A voter in a wheelchair can come in and vote. Nobody can see how others vote.',
  },
  'last-voter': {
    how: 'At closing time a {worker} stands at the end of the line. Whoever is in line then may vote.',
    see: 'All who were in line have voted.',
  },
  'closing-tape': {
    how: 'Close the tabulator as your county’s procedure says. Print the closing tape. All who must sign it.',
    see: 'The tape is whole and signed. Its count is the public count.',
  },
  reconcile: {
    how: 'Add up the ballots and the voters on the sheet. Two people do it.',
    see: 'The sums agree, or you wrote down why not.',
  },
  memory: {
    how: 'Break the seal of the small door. Take out the memory device. Put it in its bag and seal the bag.',
    see: 'The device is in the bag. You wrote down both seal numbers.',
  },
  pack: {
    how: 'Pack what goes back, item by item, from the list. Two people carry it.',
    see: 'Nothing on the list is left. Each case is sealed.',
  },
}

/** What can be amiss, as a worker says it. */
export const troubleNames = {
  'building-locked': 'the building is locked',
  'people-missing': 'people are missing',
  'ballots-differ': 'there are more or fewer ballots than on the list',
  'pack-count-differs': 'a pack holds more or fewer than it says',
  'wrong-ballots': 'these are ballots of another precinct',
  'seal-different': 'a seal has another number',
  'seal-broken': 'a seal is broken or missing',
  'box-not-empty': 'the ballot box is not empty',
  'box-not-locking': 'the ballot box does not lock',
  'flap-closed': 'the flap of the box is closed or stuck',
  'not-seated': 'the tabulator does not lie flat on the box',
  'no-power': 'it has no power',
  'no-sound': 'the box makes no sound',
  'no-prompt': 'the tabulator shows no message',
  'tape-not-printed': 'the tape does not print',
  'tape-wrong': 'the tape is wrong',
  'door-not-closing': 'the small door does not close',
  'seal-short': 'there is no seal to put on',
  'pollbook-down': 'the roster or a pollbook does not work',
  'accessible-not-working': 'the accessible station does not work',
  'room-short': 'booths, tables or signs are missing',
  'entrance-blocked': 'the way in is blocked',
  'line-continues': 'people are still in line',
  'closing-tape-not-printed': 'the closing tape does not print',
  'counts-differ': 'the counts differ',
  'memory-stuck': 'the memory device does not come out',
  'items-missing': 'something that goes back is missing',
  'nobody-to-carry': 'nobody can carry it back',
  other: 'something else',
}
