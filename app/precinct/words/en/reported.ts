/** How a report reads in the list of what was said. */

export const reported = {
  missing: (howMany: number, role: string) => `${howMany} ${role}`,
  team: (present: number, missing: string) =>
    `Team: ${present} here${missing ? `, missing ${missing}` : ', nobody missing'}`,
  step: (title: string) => `Done: ${title}`,
  tapeVerified: (label: string) => `Opening tape verified: ${label}`,
  tapeRejected: (label: string, problems: string) => `Opening tape rejected: ${label}, ${problems}`,
  seal: (what: string, found: string, state: string) =>
    state === 'missing'
      ? `No seal on the ${what}`
      : `Seal on the ${what}: ${found}${state === 'broken' ? ', broken' : ''}`,
  sealOn: (what: string, found: string) => `New seal on the ${what}: ${found}`,
  sealOff: (what: string, found: string) => `Seal taken off the ${what}: ${found}`,
  moved: (to: string) => `Moved to: ${to}`,
  noticeRead: 'Notice read',
  opened: 'Polls opened',
  openedWithSlot: 'Polls opened, with the emergency slot',
  suspended: (why: string) => `Voting stopped, ${why}`,
  resumed: 'Voting goes on',
  counts: (figures: string) => `Counts: ${figures}`,
  countNames: {
    checkedIn: 'checked in',
    inLine: 'in line',
    inSlot: 'in slot',
    spoiled: 'spoiled',
    provisional: 'provisional',
    curbside: 'curbside',
    ballotsLeft: 'ballots left',
  },
  line: (n: number, stations: number | undefined) =>
    `In line: ${n}${stations === undefined ? '' : `, ${stations} stations working`}`,
  down: (label: string) => `${label} stopped`,
  back: (label: string) => `${label} works again`,
  replaced: (label: string, by: string) => `${label} replaced by ${by}`,
  slotOpened: 'Emergency slot opened',
  slotLocked: (n: number | undefined) =>
    `Emergency slot locked${n === undefined ? '' : `, ${n} ballots in it`}`,
  slotFed: (fed: number, hand: number, over: number) =>
    `Slot ballots: ${fed} fed${hand ? `, ${hand} for hand counting` : ''}${over ? `, ${over} handed over` : ''}`,
  incident: (category: string) => `Incident, ${category}`,
  /** By the name that is sent, as it stands within the sentence. */
  items: {
    ballots: 'ballots',
    pens: 'pens',
    forms: 'forms or envelopes',
    power: 'power',
    workers: '{workers}',
    other: 'something else',
  },
  supplies: (item: string, howMany: number | undefined) =>
    `Asked for ${howMany === undefined ? '' : `${howMany} `}${item}`,
  box: (reason: string, byTwo: boolean) =>
    `Ballot box opened to ${reason === 'remove' ? 'take out' : 'straighten'} ballots${byTwo ? '' : ', by one person'}`,
  help: (about: string) => `Asked the office to call, ${about}`,
  lastVoter: 'Last voter served',
  closed: (n: number | undefined) => `Polls closed${n === undefined ? '' : `, ${n} still in line`}`,
  closingTape: (label: string, n: number) => `Closing tape signed: ${label}, ${n}`,
  reconciled: 'Counts reconciled',
  departed: (carriers: number, seals: string) =>
    `Return left with ${carriers}${seals ? `, seals ${seals}` : ''}`,
}
