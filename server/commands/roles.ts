import type { CommandKind, Role } from '../protocol/command.ts'

/** Who may do what: the one table (P14). A rover sees the board and commands nothing. */
const table: Record<CommandKind, ReadonlyArray<Role>> = {
  TakeCall: ['desk', 'supervisor'],
  HandOverCall: ['desk', 'supervisor'],
  LogCall: ['desk', 'supervisor'],
  DeferCall: ['desk', 'supervisor'],
  AddNote: ['desk', 'supervisor'],
  RecordReports: ['desk', 'supervisor'],
  IssueCode: ['desk', 'supervisor'],
  RevokeDevice: ['desk', 'supervisor'],
}

export function roleMay(role: Role, kind: CommandKind): boolean {
  return table[kind].includes(role)
}

/** Contacts (names and telephone numbers) are personal data: only for those who make the calls. */
export function roleSeesContacts(role: Role): boolean {
  return role === 'desk' || role === 'supervisor'
}
