/** The words of closed lists, and of what the plan names by a code. */

/** What this page is in, and how one gets to it: each in its own language. */
export const language = { tag: 'en', name: 'English' }

/** What people and the office are called where the plan doesn't say. */
export const titles = {
  lead: 'precinct lead',
  worker: 'worker',
  workers: 'workers',
  custodian: 'custodian',
  office: 'elections office',
}

/** By the name that is sent; another role of the plan stands by its own name. */
export const roles = {
  'precinct lead': '{lead}',
  custodian: '{custodian}',
  'check-in': 'check-in',
  ballots: 'ballots',
  'booths and line': 'booths and line',
  tabulator: 'tabulator',
  'accessible station': 'accessible station',
  'other worker': 'other {worker}',
}

export const signs = {
  'not-heard': 'not heard',
  'setting-up': 'setting up',
  ready: 'ready',
  open: 'open',
  closing: 'closing',
  closed: 'closed',
  returning: 'returning',
  received: 'received',
  'tabulator-down': 'tabulator down',
  slot: 'emergency slot in use',
  silent: 'silent',
  suspended: 'suspended',
}

export const categories = {
  'place-not-open': 'place not open',
  equipment: 'equipment',
  supplies: 'supplies',
  'long-line': 'long line',
  workers: '{workers}',
  power: 'power',
  communications: 'communications',
  weather: 'weather',
  security: 'security',
  medical: 'medical',
  access: 'access',
  conduct: 'conduct',
  custody: 'custody',
  other: 'other',
}

export const tapeProblems = {
  'precinct-name': 'wrong precinct name',
  'not-zero': 'not all zeros',
  'public-count': 'public count not zero',
  'ballot-order': 'order differs from the ballot',
  'seal-number': 'seal number differs',
  signatures: 'signatures missing',
  'not-printed': 'did not print',
  other: 'something else',
}

/** A container of another code is read as its code. */
export const containers = {
  'tabulator-door': 'tabulator door',
  'ballot-box': 'ballot box',
  'memory-device': 'memory device',
  'return-bag': 'return bag',
  'emergency-slot': 'emergency slot',
}

export const machines = {
  nowTag: (label: string, tag: string) => `${label}, now ${tag}`,
  kinds: {
    tabulator: 'tabulator',
    'accessible-station': 'accessible station',
    pollbook: 'pollbook',
    'ballot-box': 'ballot box',
    tablet: 'tablet',
  },
}
