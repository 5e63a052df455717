/** The line to the office, and enrolling. */

const reports = (n: number) => `${n} ${n === 1 ? 'report' : 'reports'}`

export const office = {
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
    'This browser keeps nothing. If you close or reload this page, you need a new code. What still waits is then lost.',
  turnedAway: (message: string) =>
    `The office’s computer does not take reports from here now: ${message || 'no reason given'}. They are kept; call the office.`,
  aside: (phone: string) =>
    `Kept aside. The office may not see it. ${phone === '' ? 'Call them.' : `Call them: ${phone}`}`,
  dayClosed: (n: number) =>
    n === 0
      ? 'This day is closed. The office takes no more reports for it.'
      : `This day is closed. The office takes no more reports for it. ${reports(n)} ${n === 1 ? 'stays' : 'stay'} on this tablet: call the office.`,
  tooOld: 'This page is older than the office’s computer. What waits is kept. Load the page again.',
  reload: 'Load the page again',
}

export const enrol = {
  title: 'Enrol this device',
  lead: 'The {office} gives you a code for your precinct. It works once.',
  code: 'Code',
  codeHelp: 'Ten letters and digits. Capital or small, with or without the dash.',
  codeCame: 'The code came with the link. Press Enrol if this device stays at your precinct.',
  label: 'Name of this device (if you like)',
  labelHelp: 'For example: tablet at the check-in table. No person’s name.',
  go: 'Enrol',
  going: 'Asking the office…',
  empty: 'Type the code that the office gave you.',
  short: 'A code has ten letters and digits. Look again.',
  refused: {
    'wrong-code': 'This is not one of our codes. A code never has I, L, O, U, 0 or 1. Look again.',
    'used-code': 'This code was used before. Ask the {office} for a new one.',
    'day-closed': 'The day of this code is closed. Ask the {office} for a new one.',
    'other-day': 'This code is for another day than this tablet’s. It is not used up.',
    'served-already': 'This tablet serves the precinct of this code already. It is not used up.',
  },
  noNetwork:
    'No connection to the office. Check the network of this device and try again. The code is not used up.',
  office: 'The office’s computer did not answer as it should. Try again, or call the office.',
  tooMany: (wait: string) => `Too many tries. Wait ${wait}, then try again.`,
  lost: 'The office no longer accepts this device. It may have been replaced or reported missing.',
  lostKept: (n: number) =>
    n === 0
      ? 'Nothing was waiting here.'
      : `${reports(n)} ${n === 1 ? 'is' : 'are'} still waiting here. Nothing is lost: you can send what waits after enrolling again for the same precinct.`,
}

export const offline = {
  ready: 'Works without network.',
  onlyOpen: 'Keep this page open. Without a network it cannot be opened again.',
}
