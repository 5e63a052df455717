import type { Role } from '../../../server/protocol/roles.ts'

/** What each role is for, in a line. */
export const roleWords: Readonly<Record<Role, string>> = {
  desk: 'answers for all precincts, on the telephone',
  supervisor: 'the same, and reviews the record',
  rover: 'is sent to places; sees their own errands',
  receiving: 'checks returns in at a station',
  admin: 'sets up days, devices and people; looks on at the desk without contacts',
}

/** What a post is, for the roles that have one. */
export const postWords: Readonly<Partial<Record<Role, string>>> = {
  rover: 'the rover’s code in the plan',
  receiving: 'code of the station’s place in the plan',
}
