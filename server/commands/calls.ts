import type { CallState } from '../domain/day/state.ts'
import { fromRfc3339, HOUR, toRfc3339 } from '../domain/time.ts'
import { type Decided, type Decider, type Deciding, deskEntry, refuse } from './decide.ts'

/** Taking, putting off and ending a call. A line across many precincts is taken whole or not at all. */

export const takeCall: Decider<'TakeCall'> = (body, at) => {
  const calls = callsOf(body.precincts, at)
  if ('refusal' in calls) return calls
  const others = calls.found.filter(c => c.call.takenBy !== null && c.call.takenBy !== at.person.id)
  const holder = others[0]?.call.takenBy
  if (holder) {
    const by = at.nameOf(holder)
    return refuse('already-taken', `${by} has this call`, { by })
  }
  // Taking again what one has changes nothing: a double tap is not two calls.
  const free = calls.found.filter(c => c.call.takenBy === null)
  return { entries: free.map(c => deskEntry('CallTaken', c.code, {}, at)) }
}

export const handOverCall: Decider<'HandOverCall'> = (body, at) => {
  const calls = callsOf(body.precincts, at)
  if ('refusal' in calls) return calls
  if (calls.found.some(c => c.call.takenBy !== at.person.id)) return notYours(calls.found, at)
  return { entries: calls.found.map(c => deskEntry('CallHandedOver', c.code, {}, at)) }
}

export const logCall: Decider<'LogCall'> = (body, at) => {
  const calls = callsOf(body.precincts, at)
  if ('refusal' in calls) return calls
  if (calls.found.some(c => c.call.takenBy !== null && c.call.takenBy !== at.person.id))
    return notYours(calls.found, at)
  if (body.outcome === 'watching' && body.until === undefined)
    return refuse('invalid', 'until when is it being watched?', {
      problems: [{ path: 'until', message: 'a time is wanted' }],
    })
  const until = body.until === undefined ? undefined : untilOf(body.until, at)
  if (until && 'refusal' in until) return until
  const detail = body.note === undefined ? undefined : { note: body.note }
  return {
    entries: calls.found.map(c =>
      deskEntry(
        'CallLogged',
        c.code,
        { outcome: body.outcome, ...(until ? { until: until.text } : {}) },
        at,
        detail,
      ),
    ),
  }
}

export const deferCall: Decider<'DeferCall'> = (body, at) => {
  const calls = callsOf(body.precincts, at)
  if ('refusal' in calls) return calls
  if (calls.found.some(c => c.call.takenBy !== null && c.call.takenBy !== at.person.id))
    return notYours(calls.found, at)
  const until = untilOf(body.until, at)
  if ('refusal' in until) return until
  const detail = body.note === undefined ? undefined : { note: body.note }
  return {
    entries: calls.found.map(c => deskEntry('CallDeferred', c.code, { until: until.text }, at, detail)),
  }
}

/** A matter may step back for four hours at most: nothing is put off for the rest of the day unseen. */
const LONGEST = 4 * HOUR

function untilOf(text: string, at: Deciding): { text: string } | Extract<Decided, { refusal: unknown }> {
  const until = fromRfc3339(text)
  const problem =
    until <= at.now
      ? 'a time later than now'
      : until > at.now + LONGEST
        ? 'at most four hours from now'
        : null
  if (problem)
    return {
      refusal: { reason: 'invalid', message: problem, problems: [{ path: 'until', message: problem }] },
    }
  return { text: toRfc3339(until) }
}

type Found = { code: string; call: CallState }

function callsOf(codes: string[], at: Deciding): { found: Found[] } | Extract<Decided, { refusal: unknown }> {
  const found: Found[] = []
  for (const code of new Set(codes)) {
    const precinct = at.state.precincts.get(code)
    if (!precinct)
      return {
        refusal: { reason: 'unknown-precinct', message: `there is no precinct ${code} in this day's plan` },
      }
    found.push({ code, call: precinct.call })
  }
  return { found }
}

function notYours(found: Found[], at: Deciding): Decided {
  const holder = found.find(c => c.call.takenBy !== null && c.call.takenBy !== at.person.id)?.call.takenBy
  const by = holder ? at.nameOf(holder) : undefined
  return refuse('not-yours', by ? `${by} has this call` : 'take the call first', by ? { by } : {})
}
