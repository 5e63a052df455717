import { type Instant, MINUTE, SECOND } from '../../server/domain/time.ts'
import { sealMisread } from './said.ts'
import type { Fact, Playing } from './script.ts'
import { stepTimes, whole } from './steps.ts'
import { story } from './troubles.ts'

/** When the tablet is switched on, and when the polls are declared open. */
export type Opening = { facts: Fact[]; switchedOnAt: Instant; openedAt: Instant }

/** The morning of one precinct: team, steps, seals, tapes, polls open. */
export function openingOf(p: Playing): Opening {
  const { at, index, random, code } = p
  const { brief } = index
  const { precinct, opening, openingSeals, seals, tabulators } = p.planned
  const late = code === story.lateTeam.precinct ? story.lateTeam : null
  const rejected = code === story.tapeRejected.precinct ? story.tapeRejected : null
  const facts: Fact[] = []
  const say = (when: Instant, kind: Fact['kind'], body: Fact['body']) => {
    facts.push({ at: whole(when), kind, body })
  }

  const switchedOnAt = late ? at(late.arrives) : whole(brief.reportAt - random.between(1, 12) * MINUTE)
  const given: Record<string, Instant> = {}
  const teamStep = opening.find(s => s.completedBy === 'team')
  if (late && teamStep) given[teamStep.code] = at(late.complete)
  const times = stepTimes(opening, late ? at(late.arrives) : brief.reportAt, random, given)
  if (late) {
    const here = Math.max(1, Math.floor(precinct.workers / 2))
    const missing = [{ role: 'worker', howMany: Math.max(1, precinct.workers - here) }]
    say(at(late.arrives) + 30 * SECOND, 'TeamReported', { present: here, missing })
  }

  let readyAt: Instant = brief.reportAt
  for (const step of opening) {
    const doneAt = times.get(step.code)!
    const waitsForTape = rejected && (step.completedBy === 'tape' || step.after.some(c => isTape(p, c)))
    if (waitsForTape) {
      if (step.completedBy === 'tape')
        say(at(rejected.rejected), 'OpeningTapeRejected', {
          tabulator: tabulators[0]!,
          problems: ['precinct-name'],
          what: 'The tape carries the name of another precinct; the tabulator is out of use',
        })
      continue
    }
    readyAt = Math.max(readyAt, doneAt)
    if (step.completedBy === 'team') say(doneAt, 'TeamReported', { present: precinct.workers, missing: [] })
    else if (step.completedBy === 'seals') {
      openingSeals.forEach((container, i) => {
        const when = doneAt - (openingSeals.length - 1 - i) * 20 * SECOND
        facts.push(...sealFacts(p, container, seals.get(container)!, when))
      })
    } else if (step.completedBy === 'tape')
      tabulators.forEach((tabulator, i) => {
        const when = doneAt - (tabulators.length - 1 - i) * 60 * SECOND
        say(when, 'OpeningTapeVerified', { tabulator, ...(step.byTwo ? { byTwo: true } : {}) })
      })
    else say(doneAt, 'StepCompleted', { step: step.code, ...(step.byTwo ? { byTwo: true } : {}) })
  }

  let openedAt = whole(Math.max(brief.opensAt, readyAt) + random.between(0, 75) * SECOND)
  if (late) openedAt = at(late.opens)
  if (rejected) {
    openedAt = at(rejected.opens)
    say(at(rejected.slot), 'EmergencySlotOpened', { byTwo: true })
  }
  say(openedAt, 'PollsOpened', rejected ? { withSlot: true } : {})
  return { facts, switchedOnAt, openedAt }
}

function isTape(p: Playing, code: string): boolean {
  return p.planned.opening.some(s => s.code === code && s.completedBy === 'tape')
}

function sealFacts(p: Playing, container: string, number: string, when: Instant): Fact[] {
  const s = story.sealDiffers
  const recorded = (at: Instant, found: string): Fact => ({
    at: whole(at),
    kind: 'SealRecorded',
    body: { container, found, state: 'intact' },
  })
  if (p.code !== s.precinct || container !== s.container) return [recorded(when, number)]
  // Both read it again when the office rings.
  return [recorded(p.at(s.found), sealMisread(number)), recorded(p.at(s.readAgain), number)]
}
