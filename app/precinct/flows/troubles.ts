import { count, incidentCategory, words } from '../../../server/domain/log/fields.ts'
import { asNumber, asText, type Flow, only, type TextQuestion } from '../asking/question.ts'
import type { Words } from '../words/catalogue.ts'

const categories = (w: Words) =>
  incidentCategory.options.map(value => ({ value, label: w.categories[value] }))

const text = (id: string, ask: string, help?: string, skip?: string): TextQuestion => ({
  id,
  kind: 'text',
  long: true,
  guard: true,
  ask,
  help,
  skip,
  schema: words,
  fills: id,
})

export const incident: Flow = (answers, { words: w }) => {
  if (answers.category === undefined)
    return { ask: { id: 'category', kind: 'one', ask: w.incident.category, choices: categories(w) } }
  if (answers.what === undefined) return { ask: text('what', w.incident.what, w.incident.whatHelp) }
  if (answers.resolution === undefined)
    return { ask: text('resolution', w.incident.resolution, w.incident.whatHelp, w.incident.skip) }
  const body = only({
    category: answers.category,
    what: asText(answers.what),
    resolution: asText(answers.resolution),
  })
  return { say: [{ kind: 'IncidentNoted', body }], done: { title: w.incident.done } }
}

export const help: Flow = (answers, { words: w }) => {
  if (answers.about === undefined)
    return { ask: { id: 'about', kind: 'one', ask: w.help.about, choices: categories(w) } }
  if (answers.what === undefined) return { ask: text('what', w.help.what, w.help.whatHelp, w.help.skip) }
  return {
    say: [{ kind: 'HelpRequested', body: only({ about: answers.about, what: asText(answers.what) }) }],
    done: { title: w.help.done, lines: [w.help.doneHelp], phone: true },
  }
}

export const supplies: Flow = (answers, { words: w }) => {
  const choices = Object.entries(w.supplies.items).map(([value, label]) => ({ value, label }))
  if (answers.item === undefined) return { ask: { id: 'item', kind: 'one', ask: w.supplies.item, choices } }
  if (answers.howMany === undefined)
    return {
      ask: {
        id: 'howMany',
        kind: 'number',
        ask: w.supplies.howMany,
        schema: count.min(1),
        skip: w.supplies.unknown,
        fills: 'howMany',
      },
    }
  if (answers.what === undefined)
    return {
      ask:
        answers.item === 'other'
          ? text('what', w.supplies.whatOther, w.supplies.whatHelp)
          : answers.item === 'workers'
            ? text('what', w.supplies.whatWorkers, w.supplies.whatHelp, w.supplies.skip)
            : text('what', w.supplies.what, w.supplies.whatHelp, w.supplies.skip),
    }
  const body = only({
    item: answers.item,
    howMany: asNumber(answers.howMany),
    what: asText(answers.what),
  })
  const ballots = answers.item === 'ballots'
  return {
    say: [{ kind: 'SuppliesRequested', body }],
    done: { title: w.supplies.done, lines: ballots ? [w.supplies.doneBallots] : [], phone: ballots },
  }
}

/** What makes a team leave, and the category by which the office has it. */
const CAUSES = {
  threat: 'security',
  fire: 'place-not-open',
  flood: 'weather',
  power: 'power',
  access: 'access',
  other: 'other',
} as const satisfies Record<keyof Words['move']['causes'], string>

/** The team leaves the building: few questions, then what goes along. Nothing is asked that can wait. */
export const move: Flow = (answers, { page, words: w }) => {
  if (answers.cause === undefined)
    return {
      ask: {
        id: 'cause',
        kind: 'one',
        ask: w.move.cause,
        help: w.move.causeHelp,
        choices: Object.entries(w.move.causes).map(([value, label]) => ({ value, label })),
        fills: 'cause',
      },
    }
  if (answers.to === undefined) return { ask: { ...text('to', w.move.to, w.move.toHelp), guard: 'place' } }
  const cause = CAUSES[answers.cause as keyof typeof CAUSES]
  return {
    say: [{ kind: 'PlaceMoved', body: { cause, to: asText(answers.to) } }],
    done: {
      title: w.move.done,
      lines: [w.move.call, w.move.together, w.move.ballots, w.move.line],
      stop: true,
      phone: true,
      to: page.polls === 'open' ? [{ label: w.move.toSuspend, screen: 'flow/suspend' }] : [],
    },
  }
}

export const suspend: Flow = (answers, { words: w }) => {
  if (answers.cause === undefined)
    return { ask: { id: 'cause', kind: 'one', ask: w.suspend.cause, choices: categories(w) } }
  if (answers.what === undefined)
    return { ask: text('what', w.suspend.what, w.help.whatHelp, w.suspend.skip) }
  return {
    say: [{ kind: 'PollsSuspended', body: only({ cause: answers.cause, what: asText(answers.what) }) }],
    done: { title: w.suspend.done, lines: [w.suspend.doneHelp], stop: true, phone: true },
  }
}

export const resume: Flow = (answers, { words: w }) =>
  answers.resume === undefined
    ? {
        ask: {
          id: 'resume',
          kind: 'one',
          ask: w.suspend.resume,
          choices: [
            { value: 'yes', label: w.suspend.yes },
            { value: 'no', label: w.suspend.no, leave: true },
          ],
        },
      }
    : { say: [{ kind: 'PollsResumed', body: {} }], done: { title: w.suspend.resumed } }
