import type { Entry } from '../log/entry.ts'
import { heardAfter, NO_RHYTHM } from '../silence/accrual.ts'
import { fromRfc3339 } from '../time.ts'
import { copyOf } from './copies.ts'
import { unheard, withDevice } from './heard.ts'
import { keptAside } from './keptAside.ts'
import { noticeSent } from './notices.ts'
import { latest } from './stamp.ts'
import { type DayState, LIMITS, type PrecinctState, type Reason } from './state.ts'
import { higherTier } from './tiers.ts'

/** Verdicts and records of the system about one precinct, in the order of the log. */
export function evolveSystem(p: PrecinctState, entry: Entry) {
  switch (entry.kind) {
    case 'DeviceEnrolled': {
      const { device: id, replaces } = entry.body
      if (replaces !== undefined) revoke(p, replaces)
      p.rhythm = NO_RHYTHM
      // A device may have spoken before this is folded in: what is known of it stays.
      if (!p.devices.some(d => d.id === id)) withDevice(p, unheard(id, entry.recordedAt))
      return
    }
    case 'DeviceRevoked':
      return revoke(p, entry.body.device)
    case 'ReportsKeptAside':
      return keptAside(p, entry)
    case 'PrecinctFellSilent': {
      if (p.silentSince !== null) return
      p.silentSince = fromRfc3339(entry.body.silentAt)
      p.silences = [...p.silences, { from: p.silentSince, to: null }].slice(-LIMITS.silences)
      return
    }
    case 'PrecinctHeardAgain': {
      p.silentSince = null
      const last = p.silences.at(-1)
      if (last?.to === null) p.silences = [...p.silences.slice(0, -1), { ...last, to: entry.occurredAt }]
      return
    }
    case 'ReasonRaised':
      // What is graver than all that stood ends the stepping back: it was agreed on without knowing this.
      if (
        p.call.backUntil !== null &&
        Object.values(p.reasons).every(r => higherTier(entry.body.tier, r.tier))
      )
        p.call = { ...p.call, backUntil: null }
      p.reasons = withReason(p.reasons, entry)
      return
    case 'ReasonEnded':
      p.reasons = withoutReason(p.reasons, entry.body.key)
      if (Object.keys(p.reasons).length === 0)
        p.call = { ...p.call, takenBy: null, takenAt: null, backUntil: null }
      return
  }
}

function revoke(p: PrecinctState, id: string) {
  const known = p.devices.find(d => d.id === id) ?? unheard(id, 0)
  withDevice(p, { ...known, revoked: true })
}

/** Entries of the whole county that aren't reasons. */
export function evolveDay(state: DayState, entry: Entry) {
  switch (entry.kind) {
    case 'DayOpened':
      state.planHash = entry.body.planHash
      state.kind = entry.body.kind
      return
    case 'DayClosed':
      state.closed = true
      return
    case 'NoticeSent':
      return noticeSent(state, entry)
    case 'ServiceResumed':
      state.graceUntil = latest(state.graceUntil, fromRfc3339(entry.body.graceUntil))
      return
    case 'ForecastMade':
      state.forecastBase = {
        at: entry.occurredAt,
        position: entry.position,
        precincts: new Map(state.precincts),
      }
      return
    case 'DevicesHeard':
      for (const code in entry.body.heard) {
        const before = state.precincts.get(code)
        if (!before) continue
        const p = copyOf(before)
        p.touchedAt = Math.max(p.touchedAt, entry.position)
        const at = fromRfc3339(entry.body.heard[code]!)
        if (p.heardAt !== null) p.rhythm = heardAfter(p.rhythm, at - p.heardAt)
        p.heardAt = latest(p.heardAt, at)
        state.precincts.set(code, p)
      }
      return
  }
}

/** Reasons of the whole county. */
export function evolveCountyReason(state: DayState, entry: Entry<'ReasonRaised'> | Entry<'ReasonEnded'>) {
  state.reasons =
    entry.kind === 'ReasonRaised'
      ? withReason(state.reasons, entry)
      : withoutReason(state.reasons, entry.body.key)
}

type Reasons = Readonly<Record<string, Reason>>

/** Raised again, it keeps the instant of its first raising. */
function withReason(reasons: Reasons, entry: Entry<'ReasonRaised'>): Reasons {
  const { key, rule, tier, since, voterMinutes, evidence } = entry.body
  const raisedAt = reasons[key]?.raisedAt ?? entry.occurredAt
  const reason: Reason = {
    key,
    rule,
    tier,
    precinct: entry.precinct,
    since: fromRfc3339(since),
    raisedAt,
    figuresAt: entry.occurredAt,
    voterMinutes,
    evidence,
  }
  return { ...reasons, [key]: reason }
}

function withoutReason(reasons: Reasons, key: string): Reasons {
  const { [key]: _, ...rest } = reasons
  return rest
}
