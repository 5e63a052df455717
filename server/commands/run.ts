import type { z } from 'zod'
import type { Access, Person } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import type { DayLogReader, DayLogWriter, Decision } from '../domain/log/dayLog.ts'
import {
  type CommandAnswer,
  type CommandKind,
  commandBodies,
  commandRequest,
  type Refusal,
} from '../protocol/command.ts'
import { roleMay } from '../protocol/roles.ts'
import { deferCall, handOverCall, logCall, takeCall } from './calls.ts'
import type { Decided, Decider, Deciding } from './decide.ts'
import { acceptErrand, arriveOnSite, finishErrand, giveBackErrand, sendRover, setOut } from './errands.ts'
import { addNote, recordReports } from './record.ts'
import { checkInReturn } from './returns.ts'

const deciders = {
  TakeCall: takeCall,
  HandOverCall: handOverCall,
  LogCall: logCall,
  DeferCall: deferCall,
  AddNote: addNote,
  RecordReports: recordReports,
  SendRover: sendRover,
  AcceptErrand: acceptErrand,
  SetOut: setOut,
  ArriveOnSite: arriveOnSite,
  FinishErrand: finishErrand,
  GiveBackErrand: giveBackErrand,
  CheckInReturn: checkInReturn,
} as const satisfies Partial<{ [K in CommandKind]: Decider<K> }>

/** The running day as commands need it. */
type CommandedDay = {
  day: string
  closed(): boolean
  deciding(person: Person, now: number): Omit<Deciding, 'id'>
}

export type CommandRunner = (day: CommandedDay, person: Person, request: unknown) => Promise<CommandAnswer>

const closedDay: Refusal = { reason: 'day-closed', message: 'this day is closed' }

/** Answers of the last commands by id: a retry gets the answer its first try got. */
const REMEMBERED = 5_000

export function createCommandRunner(deps: {
  log: DayLogReader & DayLogWriter
  access: Access
  onTrouble(error: unknown): void
}): CommandRunner {
  const answers = new Map<string, Promise<CommandAnswer>>()

  async function run(
    day: CommandedDay,
    person: Person,
    id: string,
    kind: CommandKind,
    body: unknown,
  ): Promise<CommandAnswer> {
    const source = `command:${id}`
    const written = await deps.log.upTo(day.day, source)
    if (written > 0) return { ok: true, position: (await deps.log.head(day.day)).position }
    if (kind === 'IssueCode' || kind === 'RevokeDevice') return onDevices(day, person, kind, body)
    const decider = deciders[kind] as Decider<CommandKind>
    const { result, head } = await deps.log.decide<Refusal | null>(day.day, now => {
      // It may have been closed while this waited for the log.
      if (day.closed()) return { entries: [], result: closedDay }
      const decided: Decided = decider(body as never, { ...day.deciding(person, now), id })
      if ('refusal' in decided) return { entries: [], result: decided.refusal }
      return {
        entries: decided.entries.map((e, i) => ({ ...e, source, number: i + 1 })),
        result: null,
      } as Decision<null>
    })
    return result ? { ok: false, refusal: result } : { ok: true, position: head.position }
  }

  async function onDevices(
    day: CommandedDay,
    person: Person,
    kind: 'IssueCode' | 'RevokeDevice',
    body: unknown,
  ): Promise<CommandAnswer> {
    const head = await deps.log.head(day.day)
    if (kind === 'IssueCode') {
      const { precinct } = body as { precinct: string }
      if (!day.deciding(person, head.recordedAt).state.precincts.has(precinct))
        return no('unknown-precinct', `there is no precinct ${precinct} in this day's plan`)
      return {
        ok: true,
        position: head.position,
        result: { code: await deps.access.issueCode(day.day, precinct) },
      }
    }
    const { device } = body as { device: string }
    const known = (await deps.access.devicesOf(day.day)).find(d => d.id === device)
    if (!known) return no('invalid', 'there is no such device on this day')
    const revoked = await deps.access.revoke(device)
    if (!revoked) return { ok: true, position: head.position }
    const written = await deps.log.decide(day.day, now => ({
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

  return async (day, person, request) => {
    const parsed = readAs(commandRequest, request)
    if (!parsed.success)
      return no('invalid', 'the command can’t be read', { problems: [...problemsOf(parsed.error)] })
    const { id, kind } = parsed.data
    if (!roleMay(person.role, kind)) return no('not-allowed', `${person.role} may not do this`)
    if (day.closed()) return { ok: false, refusal: closedDay }
    const body = readAs<z.ZodType>(commandBodies[kind], parsed.data.body)
    if (!body.success)
      return no('invalid', 'something is missing or wrong', { problems: [...problemsOf(body.error, 'body')] })
    const key = `${day.day}|${person.id}|${id}`
    const earlier = answers.get(key)
    if (earlier) return earlier
    const answer = run(day, person, id, kind, body.data).catch((error): CommandAnswer => {
      answers.delete(key)
      deps.onTrouble(error)
      return no('unavailable', 'the log can’t be written just now; try again')
    })
    answers.set(key, answer)
    if (answers.size > REMEMBERED) answers.delete(answers.keys().next().value as string)
    return answer
  }
}

function no(reason: Refusal['reason'], message: string, more: Partial<Refusal> = {}): CommandAnswer {
  return { ok: false, refusal: { reason, message, ...more } }
}
