import { TROUBLES } from '../../server/domain/plan/troubles.ts'
import type { EntryOnWire } from '../../server/protocol/board.ts'
import { countWords } from './figures.ts'
import { categoryWords, outcomeWords, problemWords } from './vocabulary.ts'

type Body = Record<string, unknown>
export type Names = {
  /** Step code to its title. */
  step(code: string): string
  /** Equipment tag to what it is called. */
  equipment(tag: string): string
  /** Code of a rover to their name. */
  rover(code: string): string
  /** RFC 3339 to county time. */
  time(text: string): string
}

const n = (v: unknown): string => (typeof v === 'number' ? countWords(v) : '?')
const t = (v: unknown): string => (typeof v === 'string' ? v : '?')
const list = (v: unknown): unknown[] => (Array.isArray(v) ? v : [])
const and = (v: unknown, more: string): string => (v === undefined ? '' : more)

const COUNT_WORDS: Array<[string, string]> = [
  ['checkedIn', 'checked in'],
  ['inLine', 'in line'],
  ['inSlot', 'in slot'],
  ['spoiled', 'spoiled'],
  ['provisional', 'provisional'],
  ['curbside', 'curbside'],
  ['ballotsLeft', 'ballots left'],
]

function counts(body: Body, value: (v: unknown) => string): string {
  const parts = COUNT_WORDS.filter(([k]) => body[k] !== undefined).map(
    ([k, word]) => `${value(body[k])} ${word}`,
  )
  const tabulators = Object.entries((body.publicCount as Body | undefined) ?? {})
  for (const [tag, v] of tabulators) parts.push(`public count ${value(v)} on ${tag}`)
  return parts.join(', ')
}

const heartbeatValue = (v: unknown): string => n((v as { is?: unknown } | null)?.is)

function heartbeat(body: Body, names: Names): string {
  const parts: string[] = []
  const status = (body.status ?? {}) as Record<string, { is?: unknown; tabulator?: unknown }>
  if (status.polls) parts.push(`polls ${t(status.polls.is).replace('-', ' ')}`)
  if (status.tape) parts.push(`opening tape ${t(status.tape.is)} on ${t(status.tape.tabulator)}`)
  if (status.equipmentDown) {
    const tags = list(status.equipmentDown.is)
    parts.push(
      tags.length === 0 ? 'nothing down' : `down: ${tags.map(tag => names.equipment(t(tag))).join(', ')}`,
    )
  }
  if (status.slot) parts.push(`slot ${t(status.slot.is)}`)
  if (status.returns) parts.push(`return ${t(status.returns.is).replaceAll('-', ' ')}`)
  const counted = counts((body.counts ?? {}) as Body, heartbeatValue)
  if (counted) parts.push(counted)
  const device = (body.device ?? {}) as { battery?: unknown; waiting?: unknown; charging?: unknown }
  if (device.battery !== undefined) parts.push(`battery ${n(device.battery)}%`)
  if (device.charging !== undefined) parts.push(device.charging ? 'charging' : 'not charging')
  if (device.waiting !== undefined) parts.push(`${n(device.waiting)} reports waiting`)
  return `Heartbeat: ${parts.join('; ') || 'heard'}`
}

function sealDone(act: unknown): string {
  if (act === 'applied') return 'New seal on'
  return act === 'removed' ? 'Seal taken off' : 'Seal on'
}

/** undefined: none was named, or only that it is something else. */
function troubleWords(code: unknown): string | undefined {
  const name = t(code)
  return name !== 'other' && Object.hasOwn(TROUBLES, name)
    ? TROUBLES[name as keyof typeof TROUBLES]
    : undefined
}

const WORDS: Record<string, (body: Body, names: Names) => string> = {
  TeamReported: b => {
    const missing = list(b.missing) as Array<{ role?: unknown; howMany?: unknown }>
    return `Team: ${n(b.present)} present${missing.length ? `, missing ${missing.map(m => `${n(m.howMany)} ${t(m.role)}`).join(', ')}` : ', complete'}`
  },
  StepCompleted: (b, names) => `Done: ${names.step(t(b.step))}`,
  OpeningTapeVerified: (b, names) => `Opening tape verified, ${names.equipment(t(b.tabulator))}`,
  OpeningTapeRejected: (b, names) =>
    `Opening tape rejected, ${names.equipment(t(b.tabulator))}: ${list(b.problems)
      .map(p => problemWords(t(p)))
      .join(', ')}`,
  SealRecorded: b =>
    `${sealDone(b.act)} ${t(b.container).replaceAll('-', ' ')}: ${t(b.found)}${b.state === 'intact' || b.state === undefined ? '' : `, ${t(b.state)}`}`,
  PollsOpened: b => `Polls opened${b.withSlot ? ', with the emergency slot' : ''}`,
  PollsSuspended: b => `Voting suspended: ${categoryWords(t(b.cause))}`,
  PollsResumed: () => 'Voting resumed',
  PlaceMoved: b => `Place moved: ${categoryWords(t(b.cause))}`,
  CountsReported: b => `Counts: ${counts(b, n)}`,
  LineReported: b =>
    `Line: ${n(b.inLine)} waiting${and(b.stationsWorking, `, ${n(b.stationsWorking)} stations working`)}`,
  EquipmentWentDown: (b, names) => `Down: ${names.equipment(t(b.equipment))}`,
  EquipmentRestored: (b, names) => `Works again: ${names.equipment(t(b.equipment))}`,
  EquipmentReplaced: (b, names) => `Replaced: ${names.equipment(t(b.equipment))} by ${t(b.by)}`,
  EmergencySlotOpened: () => 'Emergency slot opened',
  EmergencySlotLocked: b =>
    `Emergency slot locked${and(b.inSlot, `, ${n(b.inSlot)} ${b.inSlot === 1 ? 'ballot' : 'ballots'} in it`)}`,
  SlotBallotsFed: b =>
    `Slot ballots: ${n(b.fed)} fed${b.handCounted ? `, ${n(b.handCounted)} hand counted` : ''}${b.handedOver ? `, ${n(b.handedOver)} handed over` : ''}`,
  BallotBoxOpened: b =>
    `Ballot box opened to ${b.reason === 'straighten' ? 'straighten' : 'remove'} ballots, ${b.byTwo ? 'by two' : 'not by two'}`,
  IncidentNoted: b => `Incident: ${categoryWords(t(b.category))}`,
  SuppliesRequested: b => {
    const item = b.item === 'workers' ? (b.howMany === 1 ? 'standby worker' : 'standby workers') : t(b.item)
    return `Asks for ${b.howMany === undefined ? '' : `${n(b.howMany)} `}${item}`
  },
  HelpRequested: (b, names) =>
    `Asks for help: ${troubleWords(b.trouble) ?? categoryWords(t(b.about))}${and(b.step, `, at “${names.step(t(b.step))}”`)}`,
  LastVoterServed: () => 'Last voter served',
  PollsClosed: b => `Polls closed${and(b.stillInLine, `, ${n(b.stillInLine)} still in line`)}`,
  ClosingTapeSigned: (b, names) =>
    `Closing tape signed, ${names.equipment(t(b.tabulator))}: public count ${n(b.publicCount)}`,
  CountsReconciled: b =>
    `Reconciled: ${n(b.checkedIn)} checked in, ${n(b.tabulated)} tabulated, ${n(b.inSlot)} in slot, ${n(b.spoiled)} spoiled, ${n(b.provisional)} provisional; ${n(b.left)} of ${n(b.delivered)} ballots left`,
  ReturnDeparted: b =>
    `Return left with ${n(b.carriers)} carriers${b.partiesDiffer === true ? ' of different parties' : ''}, ${list(b.items).length} items, ${list(b.seals).length} seals`,
  ReturnReceived: b => {
    const by =
      b.carriers === undefined
        ? ''
        : `, brought by ${b.carriers === 1 ? '1 person' : `${n(b.carriers)} people`}`
    return `Return received${and(b.station, ` at ${t(b.station)}`)}${by}: ${list(b.items).length} items, ${list(b.seals).length} seals`
  },
  NoticeAcknowledged: b => `Notice read: entry ${n(b.notice)}`,
  HeartbeatReceived: heartbeat,
  CallTaken: () => 'Call taken',
  CallHandedOver: () => 'Call handed over',
  CallLogged: (b, names) =>
    `Call ended: ${outcomeWords(t(b.outcome))}${and(b.until, `, not before ${names.time(t(b.until))}`)}`,
  CallDeferred: (b, names) => `Call put off until ${names.time(t(b.until))}`,
  RoverAssigned: (b, names) => `Rover sent: ${names.rover(t(b.rover))}`,
  RoverAccepted: (b, names) => `Rover ${names.rover(t(b.rover))} accepted the errand`,
  RoverOnTheWay: (b, names) => `Rover ${names.rover(t(b.rover))} on the way`,
  RoverArrived: (b, names) => `Rover ${names.rover(t(b.rover))} arrived`,
  RoverFinished: (b, names) => `Rover ${names.rover(t(b.rover))} finished`,
  RoverGaveBack: (b, names) => `Errand of rover ${names.rover(t(b.rover))} given back`,
  AsideLeft: b => `Report ${n(b.number)} kept aside was left out`,
  NoticeSent: b =>
    `Notice to ${b.to === undefined ? 'every precinct' : list(b.to).length === 1 ? '1 precinct' : `${n(list(b.to).length)} precincts`}`,
  NoteAdded: () => 'Note',
  ReportCorrected: b => `Correction of entry ${n(b.position)}`,
  DayOpened: b => `Day opened (${t(b.kind)})`,
  ReportsKeptAside: b =>
    `${n(b.howMany)} ${b.howMany === 1 ? 'report' : 'reports'} of a tablet kept aside for the desk`,
  DeviceEnrolled: b => `Device enrolled${b.replaces === undefined ? '' : ', in place of another'}`,
  DeviceRevoked: () => 'Device revoked',
  DevicesHeard: () => 'Devices heard',
  ForecastMade: () => 'Forecasts made',
  PrecinctFellSilent: (b, names) => `Fell silent; last heard ${names.time(t(b.heardAt))}`,
  PrecinctHeardAgain: b =>
    `Heard again after ${n(typeof b.silentSeconds === 'number' ? Math.round(b.silentSeconds / 60) : undefined)} min`,
  ReasonRaised: b => `On the call list: ${t(b.rule).replaceAll('-', ' ')}`,
  ReasonEnded: b => `Off the call list: ${t(b.rule).replaceAll('-', ' ')}`,
  ServiceResumed: (b, names) => `Sunup came back; nothing was heard since ${names.time(t(b.lastKnownAt))}`,
  DetailErased: b => `Words of entry ${n(b.position)} erased: ${t(b.why)}`,
  DayClosed: () => 'Day closed',
}

export const kindsWithWords: readonly string[] = Object.keys(WORDS)

/** One entry in plain words. A kind that this page doesn't know yet is shown by its name. */
export function entryWords(entry: Pick<EntryOnWire, 'kind' | 'body'>, names: Names): string {
  return WORDS[entry.kind]?.(entry.body, names) ?? entry.kind
}

const VIA: Record<string, string> = {
  device: 'device',
  caller: 'by telephone',
  paper: 'on paper',
  desk: 'desk',
  system: 'Sunup',
}

/** Who said it and how it came: "precinct lead, by telephone". */
export function sourceWords(origin: Record<string, unknown>): string {
  const via = VIA[t(origin.via)] ?? t(origin.via)
  return typeof origin.spoke === 'string' ? `${origin.spoke}, ${via}` : via
}

/** What may be read of an entry's words on a board: who carried or delivered a return stays in the record. */
export function shownWords(entry: Pick<EntryOnWire, 'detail'>): string {
  const { deliveredBy: _, carriedBy: __, ...shown } = entry.detail ?? {}
  return Object.values(shown).join(' · ')
}
