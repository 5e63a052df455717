/** The start of the page, and its lists. */

export const home = {
  next: 'Next',
  all: 'Everything you can report',
  groups: {
    people: 'People',
    machines: 'Machines',
    ballots: 'Ballots and counts',
    room: 'Room and polls',
    office: 'The office',
  },
  sound: 'Turn the chime on',
  silence: 'Turn the chime off on this tablet',
  less: 'Show less',
  said: 'What was said today',
  back: 'Back',
  home: 'Back to start',
  polls: (open: string, close: string) => `Polls ${open}–${close}`,
  practice: 'Practice day',
  caution:
    'Sunup shows the office how your day goes. It never touches votes and never shows results. Follow your state’s law and your county’s procedures.',
  day: 'Day colours',
  night: 'Night colours',
  loading: 'One moment.',
  waitingForPlan: 'Waiting for the plan of your precinct. This needs a connection once.',
  noClock: 'no time yet',
}

export const actions = {
  locked: { title: 'The building is locked', note: 'Whom to call' },
  team: { title: 'Team here', note: 'How many, and who is missing' },
  steps: { title: 'Opening steps', note: (done: number, of: number) => `${done} of ${of} done` },
  seals: { title: 'Seals', note: (done: number, of: number) => `${done} of ${of} recorded` },
  tapes: {
    title: 'Opening tape',
    note: (done: number, of: number) => `${done} of ${of} verified`,
    rejected: (names: string) => `Rejected, out of use: ${names}`,
  },
  open: {
    title: 'Open the polls',
    note: (at: string) => `At ${at}, not before`,
    now: 'It is time: open the polls',
    withSlot: 'It is time: open with the emergency slot',
    asCounty: 'It is time: open as your county’s procedure says',
  },
  counts: {
    title: 'Counts',
    last: (at: string) => `Last said ${at}`,
    due: (at: string) => `Due since ${at}`,
    never: 'Voters checked in, public count',
  },
  line: { title: 'Line', note: 'How many wait now', last: (n: number, at: string) => `${n} at ${at}` },
  equipment: {
    title: 'Equipment',
    note: 'Stopped, or working again',
    down: (names: string) => `Down: ${names}`,
  },
  slotOpen: { title: 'Emergency slot opened', note: 'Ballots go in while no tabulator takes them' },
  curbside: { title: 'Curbside voters', note: 'How many so far' },
  provisional: { title: 'Provisional ballots', note: 'How many so far' },
  spoiled: { title: 'Spoiled ballots', note: 'How many so far' },
  slotLock: {
    title: 'Emergency slot locked',
    note: 'Locked whenever the tabulator works',
    now: 'The tabulator works: lock the slot now',
  },
  slotFed: {
    title: 'Slot ballots fed',
    note: (n: number | null) => (n === null ? 'Two people together' : `${n} should be in the slot`),
    wait: (n: number) =>
      n === 1 ? '1 ballot waits in the emergency slot' : `${n} ballots wait in the emergency slot`,
  },
  incident: { title: 'Incident', note: 'Something worth writing down' },
  supplies: { title: 'Ask for supplies', note: 'Ballots, pens, forms, power, {workers}' },
  box: { title: 'Ballot box opened', note: 'To straighten or take out ballots' },
  help: { title: 'Ask the office to call', note: 'They call you back' },
  suspend: { title: 'Voting has stopped', note: 'Polls suspended' },
  resume: { title: 'Voting goes on', note: 'Polls resumed' },
  move: { title: 'We must leave the building', note: 'Threat, fire, flood' },
  close: { title: 'Close the polls', note: (at: string) => `At ${at}, not before` },
  lastVoter: { title: 'Last voter served', note: 'Everybody in line at closing has voted' },
  closingSteps: { title: 'Closing steps', note: (done: number, of: number) => `${done} of ${of} done` },
  closingTape: { title: 'Closing tape', note: (done: number, of: number) => `${done} of ${of} signed` },
  custody: {
    title: 'Seals and custody',
    note: 'Seals taken off and put on',
    wrong: (containers: string) => `Not right: ${containers}`,
  },
  reconcile: { title: 'Compare the counts', note: 'Ballots and voters' },
  depart: { title: 'Return on its way', note: 'Materials have left for the county' },
}

export const reminders = {
  slot: 'Look at the emergency slot. Ballots may lie in it.',
  counts: (at: string) => `Counts are due since ${at}`,
}

export const lists = {
  stepsTitle: { opening: 'Opening steps', closing: 'Closing steps' },
  doable: 'Can be done now',
  done: 'Done',
  later: 'Later',
  after: (titles: string) => `After: ${titles}`,
  noneDoable: 'Nothing left to do here.',
  sealsTitle: 'Seals',
  sealsLead: 'Read each number from the seal itself.',
  sealWrong: 'not right: do not go on with it',
  recordAgain: 'recorded; tap to record it again',
  tapesTitle: 'Opening tape',
  tape: { verified: 'verified', none: 'not checked yet' },
  equipmentTitle: 'Equipment',
  equipmentLead: 'Tap what has stopped, or what works again.',
  down: 'down',
  works: 'no trouble reported',
  closingTapeTitle: 'Closing tape',
  signed: 'signed',
  notSigned: 'not signed yet',
}
