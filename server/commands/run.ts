import type { z } from 'zod'
import type { Access, Person } from '../access/access.ts'
import { problemsOf, readAs } from '../domain/log/check.ts'
import type { DayLogReader, DayLogWriter, Decision } from '../domain/log/dayLog.ts'
import {
  type CommandAnswer,
  type CommandBody,
  type CommandKind,
  commandBodies,
  commandRequest,
  type Refusal,
} from '../protocol/command.ts'
import { roleMay } from '../protocol/roles.ts'
import { type AsideDeps, answerAside } from './aside.ts'
import { deferCall, handOverCall, logCall, takeCall } from './calls.ts'
import type { Decided, Decider, Deciding } from './decide.ts'
import { issueCode, revokeDevice } from './devices.ts'
import { acceptErrand, arriveOnSite, finishErrand, giveBackErrand, sendRover, setOut } from './errands.ts'
import { sendNotice } from './notices.ts'
import { addNote, recordReports } from './record.ts'
import { checkInReturn } from './returns.ts'

const deciders = {
  TakeCall: takeCall,
  HandOverCall: handOverCall,
  LogCall: logCall,
  DeferCall: deferCall,
  AddNote: addNote,
  SendNotice: sendNotice,
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
  asideNamed: AsideDeps['asideNamed']
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
    if (kind === 'IssueCode') return issueCode(deps, day, person, body as CommandBody<'IssueCode'>)
    if (kind === 'RevokeDevice') return revokeDevice(deps, day, person, body as CommandBody<'RevokeDevice'>)
    if (kind === 'AcceptAside' || kind === 'LeaveAside')
      return answerAside(deps, day, person, kind, body as CommandBody<'AcceptAside'>)
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
