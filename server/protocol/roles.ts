import type { CommandKind } from './command.ts'

/**
 * Who may see and do what: the one table (P14), read by pages, routes and commands alike. A person has one role.
 *
 * - `desk`: answers for all precincts, on the telephone.
 * - `supervisor`: the same, and reviews the record.
 * - `rover`: is sent to places; `post` of the person is the rover's code in the plan.
 * - `receiving`: checks returns in at a station; `post` is the code of its place, where the plan has one.
 * - `admin`: sets up days, devices and people; looks on at the desk without contacts.
 */
export const roles = ['desk', 'rover', 'supervisor', 'receiving', 'admin'] as const
export type Role = (typeof roles)[number]

/** Pages that want a signed-in person, by path. `/`, `/enter`, `/sign-in`, `/precinct` and `/api` want none. */
export const pageRoles = {
  '/desk': ['desk', 'supervisor', 'rover', 'admin'],
  '/desk/sheet': ['desk', 'supervisor', 'rover', 'admin'],
  '/desk/shift': ['desk', 'supervisor'],
  '/rover': ['rover'],
  '/receiving': ['receiving', 'desk', 'supervisor'],
  '/review': ['supervisor', 'admin'],
  '/setup': ['admin'],
} as const satisfies Record<string, readonly Role[]>
export type GuardedPage = keyof typeof pageRoles

const deskWork = ['desk', 'supervisor'] as const
const onDevices = ['desk', 'supervisor', 'admin'] as const
/** A rover moves their own errand only; the desk does it for one who is on the telephone. */
const onErrands = ['rover', 'desk', 'supervisor'] as const

export const commandRoles = {
  TakeCall: deskWork,
  HandOverCall: deskWork,
  LogCall: deskWork,
  DeferCall: deskWork,
  AddNote: deskWork,
  SendNotice: deskWork,
  RecordReports: deskWork,
  IssueCode: onDevices,
  RevokeDevice: onDevices,
  AcceptAside: deskWork,
  LeaveAside: deskWork,
  SendRover: deskWork,
  AcceptErrand: onErrands,
  SetOut: onErrands,
  ArriveOnSite: onErrands,
  FinishErrand: onErrands,
  GiveBackErrand: onErrands,
  CheckInReturn: ['receiving', 'desk', 'supervisor'],
} as const satisfies Record<CommandKind, readonly Role[]>

export function roleMay(role: Role, kind: CommandKind): boolean {
  return (commandRoles[kind] as readonly Role[]).includes(role)
}

export function roleOpens(role: Role, page: GuardedPage): boolean {
  return (pageRoles[page] as readonly Role[]).includes(role)
}

/** Contacts (names, telephone numbers) and words that people wrote are personal data: for those who make the calls. */
export function roleSeesContacts(role: Role): boolean {
  return role === 'desk' || role === 'supervisor'
}

/** A receiving clerk types the seals that lie on the table, without having been shown any number before. */
export function roleSeesSeals(role: Role): boolean {
  return role !== 'receiving'
}

/** Where a person of this role begins. */
export const homeOf: Record<Role, GuardedPage> = {
  desk: '/desk',
  supervisor: '/desk',
  rover: '/rover',
  receiving: '/receiving',
  admin: '/setup',
}
