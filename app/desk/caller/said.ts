import type { z } from 'zod'
import { readAs } from '../../../server/domain/log/check.ts'
import { kinds, type PrecinctKind } from '../../../server/domain/log/kinds.ts'
import { type Instant, toRfc3339 } from '../../../server/domain/time.ts'
import type { PlanBrief } from '../../../server/protocol/board.ts'
import type { CommandBody } from '../../../server/protocol/command.ts'
import { AHEAD, clockWords, instantOfField } from '../../live/clock.ts'
import { plainMessage } from '../../parts/plainMessage.ts'
import { type Field, optionsOf, sayingOf } from './sayings.ts'

/** One thing said: values as they stand in the fields. `yes` fields hold 'yes' or ''. */
export type Said = {
  id: string
  kind: PrecinctKind
  at: string
  values: Readonly<Record<string, string | readonly string[]>>
}
export type CallDraft = {
  via: 'caller' | 'paper'
  spoke: string
  /** HH:MM in county time; empty: now. */
  at: string
  said: readonly Said[]
}

/** Messages by field: `spoke`, `at`, `said`, `<id>.at`, `<id>.<field>`, `<id>` for the whole saying. */
export type Problems = Readonly<Record<string, string>>
type Report = CommandBody<'RecordReports'>['reports'][number]
export type Read =
  | {
      ok: true
      body: CommandBody<'RecordReports'> /** Which saying each report came from. */
      from: string[]
    }
  | { ok: false; problems: Problems }

/**
 * Reads the form: the reports it stands for, or what is wrong field by field. Times are county time of the
 * plan's day or of the night after it; none later than `now`. The bodies are checked by the same schemas as a device's reports.
 */
export function readCall(draft: CallDraft, plan: PlanBrief, precinct: string, now: Instant): Read {
  const problems: Record<string, string> = {}
  const reports: Report[] = []
  const from: string[] = []
  const time = (text: string, path: string): Instant | undefined => {
    if (text.trim() === '') return undefined
    const at = instantOfField(text, plan.date, plan.timeZone, now)
    if (at === null) problems[path] = 'a time as HH:MM, on 24 hours'
    else if (at > now + AHEAD) problems[path] = `later than now (${clockWords(now, plan.timeZone)})`
    else return at
    return undefined
  }

  if (draft.spoke.trim() === '') problems.spoke = 'who speaks, by role'
  const shared = time(draft.at, 'at')
  if (draft.said.length === 0) problems.said = 'choose at least one thing that was said'
  for (const one of draft.said) {
    const at = time(one.at, `${one.id}.at`) ?? shared
    for (const body of bodiesOf(one, plan, precinct, problems)) {
      reports.push({ kind: one.kind, ...(at === undefined ? {} : { at: toRfc3339(at) }), body })
      from.push(one.id)
    }
  }
  if (Object.keys(problems).length > 0) return { ok: false, problems }
  return { ok: true, body: { precinct, via: draft.via, spoke: draft.spoke.trim(), reports }, from }
}

function bodiesOf(
  one: Said,
  plan: PlanBrief,
  precinct: string,
  problems: Record<string, string>,
): Array<Record<string, unknown>> {
  const body: Record<string, unknown> = {}
  const before = Object.keys(problems).length
  for (const field of sayingOf(one.kind).fields) {
    const path = `${one.id}.${field.name}`
    const value = fieldValue(field, one, plan, precinct, path, problems)
    if (value !== undefined) body[field.name] = value
    else if (!field.optional && !problems[path]) problems[path] = 'needed'
  }
  if (Object.keys(problems).length > before) return []

  // Several steps ticked at once are as many reports.
  const bodies =
    one.kind === 'StepCompleted' ? (body.step as string[]).map(step => ({ ...body, step })) : [body]
  for (const b of bodies) {
    const read = readAs<z.ZodType>(kinds[one.kind].body, b)
    if (read.success) continue
    for (const issue of read.error.issues) problems[pathOf(one, issue.path)] = plainMessage(issue.message)
  }
  return bodies
}

function pathOf(one: Said, path: readonly PropertyKey[]): string {
  const known = sayingOf(one.kind).fields.some(f => f.name === path[0])
  return known ? `${one.id}.${String(path[0])}` : one.id
}

function fieldValue(
  field: Field,
  one: Said,
  plan: PlanBrief,
  precinct: string,
  path: string,
  problems: Record<string, string>,
): unknown {
  const raw = one.values[field.name]
  const text = typeof raw === 'string' ? raw.trim() : ''
  switch (field.as) {
    case 'number':
    case 'notice':
      return wholeNumber(text, path, problems)
    case 'text':
      return text || undefined
    case 'yes':
      // A needed yes-or-no always has an answer; an optional one says nothing when it isn't ticked.
      return text === 'yes' ? true : field.optional ? undefined : false
    case 'choice': {
      const options = optionsOf(field.options, plan, precinct)
      return text || (options.length === 1 ? options[0]!.value : undefined)
    }
    case 'checks':
      return Array.isArray(raw) && raw.length > 0 ? raw : undefined
    case 'list':
      return text
        .split(/[,\n]/)
        .map(t => t.trim())
        .filter(Boolean)
    case 'per-tabulator': {
      const counts: Record<string, number> = {}
      for (const { tag } of plan.tabulators[precinct] ?? []) {
        const typed = one.values[`${field.name}.${tag}`]
        const n = wholeNumber(typeof typed === 'string' ? typed.trim() : '', path, problems)
        if (n !== undefined) counts[tag] = n
      }
      return Object.keys(counts).length > 0 ? counts : undefined
    }
    case 'missing':
      return missingOf(text, path, problems)
  }
}

function wholeNumber(text: string, path: string, problems: Record<string, string>): number | undefined {
  if (text === '') return undefined
  if (/^\d{1,7}$/.test(text)) return Number(text)
  problems[path] = 'a whole number, 0 or more'
  return undefined
}

/** "1 greeter, 2 check-in" → roles with how many; empty: the team is complete. */
function missingOf(text: string, path: string, problems: Record<string, string>) {
  const missing: Array<{ role: string; howMany: number }> = []
  for (const part of text
    .split(/[,\n]/)
    .map(t => t.trim())
    .filter(Boolean)) {
    const found = /^(\d{1,3})\s+(.+)$/.exec(part)
    if (found && Number(found[1]) > 0) missing.push({ role: found[2]!, howMany: Number(found[1]) })
    else problems[path] = 'how many, then the role: 1 greeter, 2 check-in'
  }
  return missing
}

/** The free words of a call, where a voter could be named by mistake; numbers of seals and the like are no words. */
export function wordsOfCall(draft: CallDraft): string[] {
  return draft.said.flatMap(one =>
    sayingOf(one.kind)
      .fields.filter(f => f.as === 'text' && FREE_WORDS.has(f.name))
      .map(f => one.values[f.name])
      .filter((v): v is string => typeof v === 'string' && v.trim() !== ''),
  )
}
const FREE_WORDS = new Set(['what', 'resolution', 'explanation', 'note'])

/** Puts the server's problems (paths such as `reports.1.body.fed`) beside the fields they are about. */
export function problemsFromServer(
  given: ReadonlyArray<{ path: string; message: string }>,
  from: readonly string[],
): Problems {
  const problems: Record<string, string> = {}
  for (const { path, message: found } of given) {
    const message = plainMessage(found)
    const place = /^(?:body\.)?reports\.(\d+)(?:\.body)?(?:\.([^.]+))?/.exec(path)
    const id = place ? from[Number(place[1])] : undefined
    if (id !== undefined) problems[place![2] ? `${id}.${place![2]}` : id] = message
    else problems[path === 'spoke' || path === 'body.spoke' ? 'spoke' : 'said'] = message
  }
  return problems
}
