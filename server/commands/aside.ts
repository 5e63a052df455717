import type { Person } from '../access/access.ts'
import { acceptedEntry, asideSource, type KeptAside, readAside } from '../domain/log/aside.ts'
import type { DayLogWriter, NewEntry, Problems } from '../domain/log/dayLog.ts'
import type { Instant } from '../domain/time.ts'
import type { CommandAnswer, CommandBody, Refusal } from '../protocol/command.ts'

/**
 * The desk's answer to reports that were kept aside: accepted into the day at the time they happened, or left. The
 * answer is the entry itself, under the report's own source and number, so that of two answers the first stands.
 */
type Name = CommandBody<'AcceptAside'>['reports'][number]
type NamedAside = Name &
  KeptAside & { answer: { is: 'accepted' | 'left'; by: string | null; at: Instant } | null }

export type AsideDeps = {
  log: Pick<DayLogWriter, 'decide'>
  asideNamed(day: string, precinct: string, names: readonly Name[]): Promise<NamedAside[]>
}
type AsideDay = { day: string; closed(): boolean; deciding(person: Person, now: number): Namer }
type Namer = { nameOf(person: string): string }

export async function answerAside(
  deps: AsideDeps,
  day: AsideDay,
  person: Person,
  kind: 'AcceptAside' | 'LeaveAside',
  { precinct, reports }: CommandBody<'AcceptAside'>,
): Promise<CommandAnswer> {
  const names = [...new Map(reports.map(name => [keyOf(name), name])).values()]
  const kept = new Map((await deps.asideNamed(day.day, precinct, names)).map(k => [keyOf(k), k]))
  const problems: Problems[number][] = []
  const makes: Array<(now: Instant) => NewEntry> = []
  for (const [i, name] of names.entries()) {
    const one = kept.get(keyOf(name))
    const made = one ? makeOf(kind, precinct, one, person.id) : notThere
    if (typeof made === 'function') makes.push(made)
    else problems.push(...made.map(p => ({ path: `reports.${i}.${p.path}`, message: p.message })))
  }
  if (problems.length > 0) {
    const why = problems.map(p => p.message).join('; ')
    const words = kind === 'AcceptAside' ? 'accepted' : 'left'
    return no({ reason: 'invalid', message: `nothing was ${words}: ${why}`, problems })
  }
  const { result, head } = await deps.log.decide<boolean>(day.day, now =>
    day.closed() ? { entries: [], result: true } : { entries: makes.map(make => make(now)), result: false },
  )
  if (result) return no({ reason: 'day-closed', message: 'this day is closed' })
  // What had its answer before was not written again: who gave another one is told.
  const wanted = kind === 'AcceptAside' ? 'accepted' : 'left'
  const other = (await deps.asideNamed(day.day, precinct, names)).flatMap(({ number, answer }) =>
    answer && answer.is !== wanted ? [{ number, ...answer }] : [],
  )
  const [first] = other
  if (!first) return { ok: true, position: head.position }
  const by = first.by === null ? undefined : day.deciding(person, head.recordedAt).nameOf(first.by)
  const numbers = other.map(o => o.number).join(', ')
  const message = `${by ?? 'somebody'} had ${first.is} number ${numbers} before; the others are ${wanted}`
  return no({ reason: 'other-state', message, ...(by === undefined ? {} : { by }) })
}

function makeOf(
  kind: 'AcceptAside' | 'LeaveAside',
  precinct: string,
  kept: NamedAside,
  by: string,
): ((now: Instant) => NewEntry) | Problems {
  if (kind === 'LeaveAside') return now => left(precinct, kept, by, now)
  const read = readAside(kept)
  return read.ok ? now => acceptedEntry(read, { precinct, ...kept }, by, now) : read.problems
}

function left(precinct: string, { device, number, content }: Name, by: string, now: Instant): NewEntry {
  return {
    kind: 'AsideLeft',
    version: 1,
    precinct,
    source: asideSource(device, content),
    number,
    occurredAt: now,
    origin: { via: 'desk', wrote: by },
    body: { device, number },
  }
}

const notThere: Problems = [{ path: 'number', message: 'no such report is kept aside for this precinct' }]

const keyOf = ({ device, number, content }: Name) => `${device} ${number} ${content}`

function no(refusal: Refusal): CommandAnswer {
  return { ok: false, refusal }
}
