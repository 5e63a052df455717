import type { PeopleChange } from '../../../server/protocol/peopleChanges.ts'

/** Who made a change: a name of today, or what stands for one. */
export function authorWords({ by }: PeopleChange): string {
  if (by.name !== null) return by.name
  if (by.id === 'cli') return 'The sunup command'
  return by.id === 'sunup' ? 'Sunup itself' : by.id
}

/** What was done, as the sentence that begins with its author: "changed Nell: role desk to rover". */
export function changeWords(change: PeopleChange): string {
  const { about, by } = change
  const themselves = about.id === by.id
  const whom = themselves ? 'their own account' : (about.name ?? about.id)
  switch (change.kind) {
    case 'PersonInvited':
      return `invited ${whom} as ${begunWords(change.what)}`
    case 'PersonAdded':
      return `added ${whom}, who comes in by links, as ${begunWords(change.what)}`
    case 'PersonChanged':
      return joined(`changed ${whom}`, differences(change.what))
    case 'PersonSwitchedOff':
      return joined(`switched ${whom} off`, differences(change.what))
    case 'PersonSwitchedOn':
      return joined(`switched ${whom} on again`, differences(change.what))
    case 'LinkMade':
      return change.what.for === 'password'
        ? `made a link by which ${themselves ? 'they set a password' : `${whom} sets a password`}`
        : `made a link by which ${themselves ? 'they sign in' : `${whom} signs in`} once`
    case 'PasswordSet':
      return joined('set a password of their own', ended(change.what))
    case 'TokenMade':
      return `made a token for ${whom} as ${change.what.role}`
    case 'TokenEnded':
      return `ended the token of ${whom} as ${change.what.role}`
  }
}

/** Date and time of the county, with the zone's name; without a zone, of this browser. */
export function changedAt(at: string, timeZone: string | null): string {
  return new Date(at).toLocaleString('en-US', {
    ...(timeZone === null ? {} : { timeZone }),
    year: 'numeric',
    month: 'short',
    day: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'short',
  })
}

type Difference = Extract<PeopleChange, { kind: 'PersonChanged' }>['what']

function differences({ role, post, name, sessionsEnded }: Difference): string[] {
  return [
    ...(role ? [`role ${role.was} to ${role.is}`] : []),
    ...(post ? [`post ${post.was ?? 'none'} to ${post.is ?? 'none'}`] : []),
    ...(name ? ['another name'] : []),
    ...ended({ sessionsEnded }),
  ]
}

function begunWords({ role, post }: Extract<PeopleChange, { kind: 'PersonInvited' }>['what']): string {
  return post === undefined ? role : `${role}, post ${post}`
}

function ended({ sessionsEnded }: { sessionsEnded?: number | undefined }): string[] {
  if (sessionsEnded === undefined) return []
  return [sessionsEnded === 1 ? 'one session ended by it' : `${sessionsEnded} sessions ended by it`]
}

function joined(what: string, more: readonly string[]): string {
  return more.length === 0 ? what : `${what}: ${more.join('; ')}`
}
