/** Questions when something is amiss or wanted. */

export const incident = {
  category: 'What kind of thing is it?',
  what: 'What happened?',
  whatHelp: 'Facts, in a few words. Never a voter’s name, telephone or address.',
  resolution: 'How did it end, or what was done?',
  skip: 'Not ended yet',
  done: 'Incident noted',
}

export const help = {
  about: 'What is it about?',
  what: 'What should the office know before they call?',
  whatHelp: 'Never a voter’s name, telephone or address.',
  skip: 'Leave it out',
  done: 'The office is asked to call you',
  doneHelp: 'If it cannot wait, call them yourself.',
}

export const supplies = {
  item: 'What is running short?',
  items: {
    ballots: 'Ballots',
    pens: 'Pens',
    forms: 'Forms or envelopes',
    power: 'Power: cable, extension, battery',
    workers: 'More {workers}',
    other: 'Something else',
  },
  howMany: 'How many do you need?',
  unknown: 'Hard to say',
  what: 'Which kind, and by when?',
  whatOther: 'What do you need?',
  whatWorkers: 'For which job?',
  whatHelp: 'In a few words. No names.',
  skip: 'Leave it out',
  done: 'The office knows what you need',
  doneBallots: 'If you may run out before they come, call now.',
}

export const box = {
  reason: 'The ballot box was opened. What for?',
  straighten: 'To straighten ballots',
  remove: 'To take ballots out',
  two: 'Two people, of different parties where your county asks for it, opened and locked it together',
  sealed: 'Did you put a new seal on the ballot box?',
  sealedYes: 'Yes, a new seal is on',
  sealedNone: 'The box carries no seal',
  sealedNotYet: 'Not yet',
  number: 'What number is on the new seal?',
  note: 'Anything the record should say?',
  noteHelp: 'Nobody counts or looks at ballots. No names.',
  skip: 'Nothing more',
  done: 'Opening of the ballot box is on record',
  sealNow: 'Put a new seal on now, with two people. Then put its number on record.',
  toSeal: 'New seal put on',
  alone: 'A ballot box is opened by two people together',
  aloneHelp: 'Close it, stay beside it, get a second person, and call the office now.',
}

export const move = {
  cause: 'Why must you leave the building?',
  causeHelp: 'People first. Get everybody out, then go on here.',
  causes: {
    threat: 'A threat',
    fire: 'Fire, smoke or gas',
    flood: 'Flood or storm',
    power: 'No power, heat or water',
    access: 'Nobody can get in',
    other: 'Something else',
  },
  to: 'Where do you go?',
  toHelp: 'The place or the street corner. No person’s name.',
  done: 'The office is told that you move',
  call: 'Call the office now.',
  together: 'Ballot box, tabulator and seals stay together. Two people stay with them.',
  ballots: 'If it is safe, take the unused ballots and the roster too.',
  line: 'Tell those who wait in line where to go. Leave somebody or a sign at the door.',
  toSuspend: 'Voting has stopped',
}

export const suspend = {
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
