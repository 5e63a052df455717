import type { Access, Person } from '../access/access.ts'
import type { DayLogReader, DayLogWriter } from '../domain/log/dayLog.ts'
import type { CommandAnswer, CommandBody, Refusal } from '../protocol/command.ts'

/** Codes for tablets, and the end of one that is lost: of the access tables first, then noted in the log. */
type DeviceDeps = {
  log: Pick<DayLogReader, 'head'> & Pick<DayLogWriter, 'decide'>
  access: Pick<Access, 'issueCode' | 'devicesOf' | 'revoke'>
}
type CodedDay = {
  day: string
  deciding(person: Person, now: number): { state: { precincts: ReadonlyMap<string, unknown> } }
}

export async function issueCode(
  { log, access }: DeviceDeps,
  day: CodedDay,
  person: Person,
  { precinct, replaces }: CommandBody<'IssueCode'>,
): Promise<CommandAnswer> {
  const head = await log.head(day.day)
  if (!day.deciding(person, head.recordedAt).state.precincts.has(precinct))
    return no('unknown-precinct', `there is no precinct ${precinct} in this day's plan`)
  if (replaces !== undefined) {
    const old = (await access.devicesOf(day.day)).find(d => d.id === replaces && d.precinct === precinct)
    if (!old) return no('invalid', 'there is no such device at this precinct')
    if (old.revokedAt !== null) return no('other-state', 'this device was revoked: issue a code for one more')
    if (old.replacedAt !== null) return no('other-state', 'another took the place of this device before')
  }
  const code = await access.issueCode(day.day, precinct, replaces)
  return { ok: true, position: head.position, result: { code } }
}

export async function revokeDevice(
  { log, access }: DeviceDeps,
  day: CodedDay,
  person: Person,
  { device }: CommandBody<'RevokeDevice'>,
): Promise<CommandAnswer> {
  const known = (await access.devicesOf(day.day)).find(d => d.id === device)
  if (!known) return no('invalid', 'there is no such device on this day')
  const revoked = await access.revoke(device)
  if (!revoked) return { ok: true, position: (await log.head(day.day)).position }
  const written = await log.decide(day.day, now => ({
    entries: [
      {
        kind: 'DeviceRevoked',
        version: 1,
        precinct: known.precinct,
        source: 'system',
        number: null,
        occurredAt: now,
        origin: { via: 'desk', wrote: person.id },
        body: { device },
      },
    ],
    result: null,
  }))
  return { ok: true, position: written.head.position }
}

function no(reason: Refusal['reason'], message: string): CommandAnswer {
  return { ok: false, refusal: { reason, message } }
}
