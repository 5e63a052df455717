/** A tablet that serves several precincts. */

const list = (names: readonly string[]) =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`

export const several = {
  serves: 'Precincts of this tablet',
  speaksFor: 'For',
  waiting: (n: number) => `${n} waiting`,
  needsYou: 'needs you',
  another: 'This tablet serves another precinct too',
  anotherTitle: 'Serve another precinct too',
  anotherLead: (names: readonly string[]) =>
    `This tablet goes on speaking for ${list(names)}. The office gives you a code for the other precinct. It works once.`,
  codeCame: (names: readonly string[]) =>
    `The code came with the link. This tablet serves ${list(names)} already: press Enrol only if it serves another precinct too. Nothing is replaced.`,
  notNow: 'Not now',
  trouble: (name: string, what: readonly string[]) => `${name}: ${what.join(', ')}`,
  linkLost: 'link lost',
  tooOld: 'load the page again',
  notAccepted: 'the office no longer accepts this tablet for it',
  refused: (n: number) => `the office could not take ${n}`,
  leftovers: (n: number) => `${n} from an earlier enrolment`,
  stuck: 'reports are not going out',
  cannotSave: 'this tablet cannot save',
  placeAsked: 'is this tablet there?',
  lost: (name: string) => `The office no longer accepts this tablet for ${name}. It goes on for the others.`,
  takeOff: (name: string) => `Take ${name} off this tablet`,
  takeOffHelp:
    'What waits stays on this tablet, and is found again when it is enrolled for the same precinct.',
  elsewhere: (name: string) => `${name} is at another place. Is this tablet really there?`,
  places: (name: string, place: string) => `${name}: ${place}`,
  isThere: 'Yes, it is there',
  isNotThere: 'No, take it off this tablet',
  isNotThereHelp: (phone: string) =>
    `The code is used up. If the tablet is not there, tell the office, which takes it off its own list${phone ? `: ${phone}` : ''}.`,
}
