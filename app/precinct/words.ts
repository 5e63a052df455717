import type { Problem } from '../../server/protocol/device.ts'
import { plainMessage } from '../parts/plainMessage.ts'
import type { Looks } from '../parts/voterGuard.ts'

/** Every sentence of the precinct page but the questions (wordsOfFlows.ts) and the reports (wordsOfReports.ts). Times are county time, H:MM. */

export const CAUTION =
  'Sunup shows the office how your day goes. It never touches votes and never shows results. Follow your state’s law and your county’s procedures.'

const reports = (n: number) => `${n} ${n === 1 ? 'report' : 'reports'}`

export const OFFICE = {
  hasAll: (at: string | null) =>
    at === null ? 'The office has not heard this device yet' : `Office has everything, last heard you ${at}`,
  waiting: (n: number, at: string | null) =>
    `${reports(n)} waiting, ${at === null ? 'the office has not heard this device yet' : `office last heard you ${at}`}`,
  again: (n: number) => `The office was restored from a copy: sending ${reports(n)} again`,
  down: (since: string) =>
    `No connection since ${since}. Go on reporting: it is kept here and sent when the connection is back.`,
  connecting: 'Connecting to the office.',
  call: (phone: string) => `Call the office: ${phone}`,
  refused: (n: number) => `The office could not take ${reports(n)}. See what is wrong`,
  leftovers: (n: number) => `${reports(n)} from before this device was enrolled again. See them`,
  gap: (wanted: number, holds: number, phone: string) =>
    `The office asks for report ${wanted}, and this device holds only from ${holds} on. Nothing is sent over the gap. Call the office (${phone}) for a new code: what waits here is kept.`,
  storage: 'This device cannot save. What you report now may be lost: free space on it, or call the office.',
  unsafe:
    'This browser keeps nothing. Reports wait only while this page is open: do not close it while any is waiting.',
  turnedAway: (message: string) =>
    `The office’s computer does not take reports from here now: ${message || 'no reason given'}. They are kept; call the office.`,
  tooOld: 'This page is older than the office’s computer. What waits is kept. Load the page again.',
  reload: 'Load the page again',
}

export const ENROL = {
  title: 'Enrol this device',
  lead: 'The elections office gives you a code for your precinct. It works once.',
  code: 'Code',
  codeHelp: 'Ten letters and digits. Capital or small, with or without the dash.',
  codeCame: 'The code came with the link. Press Enrol if this device stays at your precinct.',
  label: 'Name of this device (if you like)',
  labelHelp: 'For example: tablet at the check-in table. No person’s name.',
  go: 'Enrol',
  going: 'Asking the office…',
  empty: 'Type the code that the office gave you.',
  short: 'A code has at least eight letters and digits. Look again.',
  noNetwork:
    'No connection to the office. Check the network of this device and try again. The code is not used up.',
  office: 'The office’s computer did not answer as it should. Try again, or call the office.',
  tooMany: (wait: string) => `Too many tries. Wait ${wait}, then try again.`,
  lost: 'The office no longer accepts this device. It may have been replaced or reported missing.',
  lostKept: (n: number) =>
    n === 0
      ? 'Nothing was waiting here.'
      : `${reports(n)} ${n === 1 ? 'is' : 'are'} still waiting here. Nothing is lost: you can send what waits after enrolling again for the same precinct.`,
  unkept: 'The device is enrolled, but it cannot save that. Keep this page open.',
}

export const HOME = {
  next: 'Next',
  tell: 'Tell the office',
  all: 'Everything you can report',
  less: 'Show less',
  said: 'What was said today',
  back: 'Back',
  home: 'Back to start',
  polls: (open: string, close: string) => `Polls ${open}–${close}`,
  practice: 'Practice day',
  loading: 'One moment.',
  waitingForPlan: 'Waiting for the plan of your precinct. This needs a connection once.',
  noClock: 'no time yet',
}

export const ACTIONS = {
  team: { title: 'Team here', note: 'How many, and who is missing' },
  steps: { title: 'Opening steps', note: (done: number, of: number) => `${done} of ${of} done` },
  seals: { title: 'Seals', note: (done: number, of: number) => `${done} of ${of} recorded` },
  tapes: { title: 'Opening tape', note: (done: number, of: number) => `${done} of ${of} verified` },
  open: { title: 'Open the polls', note: (at: string) => `At ${at}, not before` },
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
  slotLock: { title: 'Emergency slot locked', note: 'Locked whenever the tabulator works' },
  slotFed: {
    title: 'Slot ballots fed',
    note: (n: number | null) => (n === null ? 'Two people together' : `${n} should be in the slot`),
  },
  incident: { title: 'Incident', note: 'Something worth writing down' },
  supplies: { title: 'Ask for supplies', note: 'Ballots, pens, forms, power' },
  box: { title: 'Ballot box opened', note: 'To straighten or take out ballots' },
  help: { title: 'Ask the office to call', note: 'They call you back' },
  suspend: { title: 'Voting has stopped', note: 'Polls suspended' },
  resume: { title: 'Voting goes on', note: 'Polls resumed' },
  close: { title: 'Close the polls', note: (at: string) => `At ${at}, not before` },
  lastVoter: { title: 'Last voter served', note: 'Everybody in line at closing has voted' },
  closingSteps: { title: 'Closing steps', note: (done: number, of: number) => `${done} of ${of} done` },
  closingTape: { title: 'Closing tape', note: (done: number, of: number) => `${done} of ${of} signed` },
  reconcile: { title: 'Counts reconciled', note: 'Ballots and voters compared' },
  depart: { title: 'Return on its way', note: 'Materials have left for the county' },
}

export const LISTS = {
  stepsTitle: { opening: 'Opening steps', closing: 'Closing steps' },
  doable: 'Can be done now',
  done: 'Done',
  later: 'Later',
  after: (titles: string) => `After: ${titles}`,
  noneDoable: 'Nothing left to do here.',
  sealsTitle: 'Seals',
  sealsLead: 'Read each number from the seal itself. The office compares it with its record.',
  recorded: 'recorded',
  recordAgain: 'recorded; tap to record it again',
  tapesTitle: 'Opening tape',
  tape: { verified: 'verified', rejected: 'rejected: keep it out of use', none: 'not checked yet' },
  equipmentTitle: 'Equipment',
  equipmentLead: 'Tap what has stopped, or what works again.',
  down: 'down',
  works: 'no trouble reported',
  closingTapeTitle: 'Closing tape',
  signed: 'signed',
  notSigned: 'not signed yet',
}

export const SAID = {
  title: 'What was said today',
  lead: 'Latest first. “Office has it” means that it is saved there.',
  empty: 'Nothing yet.',
  state: {
    waiting: 'waiting',
    had: 'office has it',
    refused: 'not taken',
    mended: 'said again',
    left: 'left as it is',
    again: 'being sent again',
    leftover: 'not known if heard',
  },
  toMend: 'The office could not take these',
  leftovers: 'From before this device was enrolled again',
  leftoversHelp:
    'The office may have heard some of these already. Look at each: send it only if it is still wanted.',
  mend: 'Say it again, corrected',
  send: 'Send it now',
  leave: 'Leave it',
  number: (n: number) => `Report ${n}`,
  retry: (seconds: number) => `Next try in ${seconds} s`,
}

/** What the office found wrong, in words; unknown messages stand as they came. */
export function problemWords(problem: Problem): string {
  const field = problem.path.replace(/^body\./, '')
  if (problem.message === 'number-reused' || problem.path === 'number')
    return 'This number was used before with other words. Look at it and say it again.'
  const name = FIELDS[field.split('.')[0] ?? '']
  return name ? `${name}: ${plainMessage(problem.message)}` : plainMessage(problem.message)
}

const FIELDS: Record<string, string> = {
  what: 'What happened',
  resolution: 'How it ended',
  explanation: 'Explanation',
  note: 'Note',
  found: 'Seal number',
  checkedIn: 'Voters checked in',
  publicCount: 'Public count',
  inLine: 'In line',
  inSlot: 'In the slot',
  ballotsLeft: 'Ballots left',
  tabulator: 'Tabulator',
  equipment: 'Equipment',
  step: 'Step',
  container: 'Container',
  carriers: 'Carriers',
  howMany: 'How many',
  seals: 'Seals',
}

export const ASKING = {
  next: 'Next',
  save: 'Tell the office',
  saving: 'Saving…',
  back: 'Back',
  cancel: 'Leave without saying it',
  yes: 'Yes',
  no: 'No',
  numberNeeded: 'Type a number.',
  numberWhole: 'Type a whole number, 0 or more, up to 1,000,000.',
  atLeast: (n: number) => `At least ${n}.`,
  atMost: (n: number) => `At most ${n.toLocaleString('en-US')}.`,
  textNeeded: 'Type something here.',
  textLong: 'Too long. Shorten it.',
  textForm: 'This does not look right: letters, digits, dot, dash only.',
  tickNeeded: 'Tick at least one.',
  erase: 'Erase the last digit',
  clear: 'Clear',
  both: 'Both confirmed: go on',
  alone: 'Only one person is here',
  first: 'First person: I confirm',
  second: 'Second person: I confirm too',
  twoNeeded: 'Both must confirm. If only one person is here, say so.',
  done: 'Done',
  savedHere: 'Saved here. The office gets it as soon as it can be reached.',
  savedThere: 'The office has it.',
  failed: {
    full: (limit: number) =>
      `This device already holds ${limit.toLocaleString('en-US')} reports that the office has not taken. This one was not saved. Call the office.`,
    storage: (message: string) =>
      `This device could not save it (${message}). Nothing was sent. Write it on paper and call the office.`,
    invalid: 'Something is missing or wrong. Look again.',
  },
  looksLike: {
    phone: 'This looks like a telephone number.',
    email: 'This looks like an email address.',
    address: 'This looks like somebody’s address.',
    name: 'This looks like a person’s name.',
  } satisfies Record<Looks, string>,
  neverName: 'Voters are never named here. Say what happened, not to whom.',
  change: 'Change it',
  asIs: 'It names no voter: keep it',
}
