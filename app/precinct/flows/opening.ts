import { count, problemOfTape, sealNumber, words } from '../../../server/domain/log/fields.ts'
import { fromRfc3339 } from '../../../server/domain/time.ts'
import { problemWords } from '../../parts/vocabulary.ts'
import { asList, asNumber, asText, type Flow, type OneQuestion, only } from '../asking/question.ts'
import { containerWords, labelOf, tabulatorsNow } from '../names.ts'
import { OPEN, SEAL, STEP, TAPE, TEAM } from '../wordsOfFlows.ts'

export const team: Flow = (answers, { plan }) => {
  if (answers.present === undefined)
    return {
      ask: {
        id: 'present',
        kind: 'number',
        ask: TEAM.present,
        help: TEAM.presentHelp(plan.precinct.workers),
        schema: count,
        fills: 'present',
      },
    }
  if (answers.missing === undefined) {
    const roles = [...new Set([...plan.roles, ...TEAM.roles])]
    return {
      ask: {
        id: 'missing',
        kind: 'many',
        ask: TEAM.missing,
        help: TEAM.missingHelp,
        choices: roles.map(r => ({ value: r, label: r })),
        none: TEAM.nobody,
        fills: 'missing',
      },
    }
  }
  const roles = asList(answers.missing)
  for (const role of roles)
    if (answers[`many:${role}`] === undefined)
      return { ask: { id: `many:${role}`, kind: 'number', ask: TEAM.howMany(role), schema: count.min(1) } }
  const missing = roles.map(role => ({ role, howMany: asNumber(answers[`many:${role}`]) }))
  return {
    say: [{ kind: 'TeamReported', body: { present: answers.present, missing } }],
    done: { title: TEAM.done },
  }
}

export const stepDone =
  (code: string): Flow =>
  (answers, { plan }) => {
    const step = plan.steps.find(s => s.code === code)
    const title = step?.title ?? code
    if (step?.byTwo) {
      if (answers.two === undefined) return { ask: { id: 'two', kind: 'two', ask: title, help: STEP.two } }
    } else if (answers.done === undefined)
      return {
        ask: {
          id: 'done',
          kind: 'one',
          ask: title,
          help: STEP.isDone,
          choices: [
            { value: 'yes', label: STEP.yes },
            { value: 'no', label: STEP.notYet, leave: true },
          ],
        },
      }
    const body = step?.byTwo ? { step: code, byTwo: answers.two === 'two' } : { step: code }
    return { say: [{ kind: 'StepCompleted', body }], done: { title: STEP.done, lines: [title] } }
  }

export const seal =
  (container: string): Flow =>
  answers => {
    const what = containerWords(container)
    if (answers.state === undefined)
      return {
        ask: {
          id: 'state',
          kind: 'one',
          ask: SEAL.state(what),
          choices: [
            { value: 'intact', label: SEAL.intact },
            { value: 'broken', label: SEAL.broken },
            { value: 'missing', label: SEAL.missing },
          ],
        },
      }
    if (answers.state !== 'missing' && answers.found === undefined)
      return {
        ask: {
          id: 'found',
          kind: 'text',
          ask: SEAL.found(what),
          help: SEAL.foundHelp,
          schema: sealNumber,
          fills: 'found',
        },
      }
    const found = asText(answers.found) ?? SEAL.none
    const body = { container, found, state: answers.state }
    const done =
      answers.state === 'intact'
        ? { title: SEAL.done, lines: [SEAL.doneHelp] }
        : { title: SEAL.stop(what), lines: [SEAL.stopHelp], stop: true, phone: true }
    return { say: [{ kind: 'SealRecorded', body }], done }
  }

/** Each check its own question, in the order in which the tape is read. The first "no" leads to what is wrong. */
const CHECKS = [
  'not-printed',
  'precinct-name',
  'not-zero',
  'public-count',
  'ballot-order',
  'seal-number',
  'signatures',
] as const

export const tape =
  (tabulator: string): Flow =>
  (answers, { plan, time }) => {
    const label = labelOf(plan, tabulator)
    for (const check of CHECKS) {
      const words_ = TAPE[check]
      if (answers[check] === undefined)
        return {
          ask: {
            id: check,
            kind: 'one',
            ask: typeof words_ === 'function' ? words_(plan.precinct.name) : words_,
            help: label,
            choices: YES_NO,
          },
        }
      if (answers[check] === 'no') return rejected(check)
    }
    if (answers.two === undefined)
      return { ask: { id: 'two', kind: 'two', ask: TAPE.verified, help: `${label}. ${STEP.two}` } }
    return {
      say: [{ kind: 'OpeningTapeVerified', body: { tabulator, byTwo: answers.two === 'two' } }],
      done: { title: TAPE.verified, lines: [TAPE.verifiedHelp] },
    }

    function rejected(first: (typeof CHECKS)[number]): ReturnType<Flow> {
      const printed = first !== 'not-printed'
      if (printed && answers.problems === undefined)
        return {
          ask: {
            id: 'problems',
            kind: 'many',
            ask: TAPE.wrong,
            help: label,
            choices: problemOfTape.options
              .filter(p => p !== 'not-printed')
              .map(value => ({ value, label: problemWords(value) })),
            preset: [first],
            fills: 'problems',
          },
        }
      if (answers.what === undefined)
        return {
          ask: {
            id: 'what',
            kind: 'text',
            long: true,
            ask: TAPE.what,
            help: TAPE.whatHelp,
            skip: TAPE.skip,
            schema: words,
            fills: 'what',
          },
        }
      const problems = printed ? asList(answers.problems) : ['not-printed']
      return {
        say: [
          { kind: 'OpeningTapeRejected', body: only({ tabulator, problems, what: asText(answers.what) }) },
        ],
        done: {
          title: TAPE.rejected(label),
          lines: TAPE.rejectedLines(time(fromRfc3339(plan.opensAt))),
          stop: true,
          phone: true,
        },
      }
    }
  }

const YES_NO: OneQuestion['choices'] = [
  { value: 'yes', label: 'Yes' },
  { value: 'no', label: 'No' },
]

export const open: Flow = (answers, { plan, page, now, time }) => {
  const opensAt = fromRfc3339(plan.opensAt)
  if (answers.open === undefined)
    return now < opensAt
      ? {
          ask: {
            id: 'open',
            kind: 'one',
            ask: OPEN.early(time(now), time(opensAt)),
            choices: [
              { value: 'no', label: OPEN.notYet, leave: true },
              { value: 'yes', label: OPEN.areOpen, note: OPEN.earlyNote },
            ],
          },
        }
      : {
          ask: {
            id: 'open',
            kind: 'one',
            ask: OPEN.open,
            help: OPEN.late(time(opensAt)),
            choices: [
              { value: 'yes', label: OPEN.yes },
              { value: 'no', label: OPEN.notYet, leave: true },
            ],
          },
        }
  const doubtful = tabulatorsNow(plan, page).filter(
    t => page.tapes[t.tag] !== 'verified' || page.down.includes(t.tag),
  )
  if (doubtful.length > 0 && !page.slotOpen) {
    if (answers.slot === undefined)
      return {
        ask: {
          id: 'slot',
          kind: 'one',
          ask: OPEN.slot,
          help: OPEN.slotHelp(doubtful.map(t => t.label).join(', ')),
          choices: [
            { value: 'yes', label: OPEN.slotYes },
            { value: 'no', label: OPEN.slotNo },
          ],
        },
      }
  }
  const withSlot = page.slotOpen || answers.slot === 'yes'
  return {
    say: [{ kind: 'PollsOpened', body: withSlot ? { withSlot } : {} }],
    done: { title: OPEN.done },
  }
}
