import { count } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { asList, asNumber, type Flow } from '../asking/question.ts'
import { showsOf, stepOfGuide } from '../guide/shows.ts'
import { roleWords, tabulatorsNow } from '../names.ts'
import { tabulatorsOut } from '../outOfUse.ts'
import type { Words } from '../words/catalogue.ts'

/** By the name that is sent. Common practice; the roles of the plan's contacts come first. */
const USUAL_ROLES: ReadonlyArray<keyof Words['roles']> = [
  'precinct lead',
  'check-in',
  'ballots',
  'booths and line',
  'tabulator',
  'accessible station',
  'other worker',
]

export const team: Flow = (answers, { plan, words: w }) => {
  if (answers.present === undefined)
    return {
      ask: {
        id: 'present',
        kind: 'number',
        ask: w.team.present,
        help: w.team.presentHelp(plan.precinct.workers),
        shows: showsOf(stepOfGuide(plan.steps, 'team'), w),
        schema: count,
        fills: 'present',
      },
    }
  if (answers.missing === undefined) {
    const roles = [...new Set([...plan.roles, ...USUAL_ROLES])]
    return {
      ask: {
        id: 'missing',
        kind: 'many',
        ask: w.team.missing,
        help: w.team.missingHelp,
        choices: roles.map(r => ({ value: r, label: roleWords(r, w) })),
        none: w.team.nobody,
        fills: 'missing',
      },
    }
  }
  const roles = asList(answers.missing)
  for (const role of roles)
    if (answers[`many:${role}`] === undefined)
      return {
        ask: {
          id: `many:${role}`,
          kind: 'number',
          ask: w.team.howMany(roleWords(role, w)),
          schema: count.min(1),
        },
      }
  const missing = roles.map(role => ({ role, howMany: asNumber(answers[`many:${role}`]) ?? 1 }))
  if (missing.length > 0 && answers.standby === undefined)
    return {
      ask: {
        id: 'standby',
        kind: 'one',
        ask: w.team.standby,
        help: missing.map(m => w.reported.missing(m.howMany, roleWords(m.role, w))).join(', '),
        choices: [
          { value: 'yes', label: w.team.standbyYes },
          { value: 'no', label: w.team.standbyNo },
        ],
      },
    }
  const wanted = answers.standby === 'yes' ? missing : []
  return {
    say: [
      { kind: 'TeamReported', body: { present: answers.present, missing } },
      // A role goes to the office by its name in the plan.
      ...wanted.map(({ role, howMany }) => ({
        kind: 'SuppliesRequested' as const,
        body: { item: 'workers', howMany, what: role },
      })),
    ],
    done: { title: w.team.done, lines: wanted.length > 0 ? [w.team.standbyAsked] : [] },
  }
}

export const open: Flow = (answers, { plan, page, now, time, words: w }) => {
  const opensAt = fromRfc3339(plan.opensAt)
  if (answers.open === undefined)
    return now < opensAt
      ? {
          ask: {
            id: 'open',
            kind: 'one',
            ask: w.open.early(time(now), time(opensAt)),
            choices: [
              { value: 'no', label: w.open.notYet, leave: true },
              { value: 'yes', label: w.open.areOpen, note: w.open.earlyNote },
            ],
          },
        }
      : {
          ask: {
            id: 'open',
            kind: 'one',
            ask: w.open.open,
            help: w.open.late(time(opensAt)),
            choices: [
              { value: 'yes', label: w.open.yes },
              { value: 'no', label: w.open.notYet, leave: true },
            ],
          },
        }
  const here = tabulatorsNow(plan, page, w)
  const out = tabulatorsOut(plan, page)
  const doubtful = here.filter(
    t => page.tapes[t.tag] !== 'verified' || page.down.includes(t.tag) || out.has(t.tag),
  )
  if (doubtful.length > 0 && !page.slotOpen && answers.slot === undefined) {
    const names = w.open.slotHelp(doubtful.map(t => t.label).join(', '))
    const none = doubtful.length === here.length
    return {
      ask: {
        id: 'slot',
        kind: 'one',
        ask: w.open.slot,
        help: none ? `${names} ${plan.page.openWithSlot ? w.open.withSlot : w.open.asCounty}` : names,
        choices: [
          { value: 'yes', label: w.open.slotYes },
          { value: 'no', label: none ? w.open.slotOther : w.open.slotNo },
        ],
      },
    }
  }
  const withSlot = page.slotOpen || answers.slot === 'yes'
  return {
    say: [{ kind: 'PollsOpened', body: withSlot ? { withSlot } : {} }],
    done: { title: w.open.done },
  }
}
