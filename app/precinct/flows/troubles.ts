import { count, incidentCategory, words } from '../../../server/domain/log/fields.ts'
import { categoryWords } from '../../parts/vocabulary.ts'
import { asNumber, asText, type Flow, only, type Question } from '../asking/question.ts'
import { HELP, INCIDENT, SUPPLIES, SUSPEND } from '../wordsOfFlows.ts'

const categories = incidentCategory.options.map(value => ({ value, label: categoryWords(value) }))

const text = (id: string, ask: string, help?: string, skip?: string): Question => ({
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

export const incident: Flow = answers => {
  if (answers.category === undefined)
    return { ask: { id: 'category', kind: 'one', ask: INCIDENT.category, choices: categories } }
  if (answers.what === undefined) return { ask: text('what', INCIDENT.what, INCIDENT.whatHelp) }
  if (answers.resolution === undefined)
    return { ask: text('resolution', INCIDENT.resolution, INCIDENT.whatHelp, INCIDENT.skip) }
  const body = only({
    category: answers.category,
    what: asText(answers.what),
    resolution: asText(answers.resolution),
  })
  return { say: [{ kind: 'IncidentNoted', body }], done: { title: INCIDENT.done } }
}

export const help: Flow = answers => {
  if (answers.about === undefined)
    return { ask: { id: 'about', kind: 'one', ask: HELP.about, choices: categories } }
  if (answers.what === undefined) return { ask: text('what', HELP.what, HELP.whatHelp, HELP.skip) }
  return {
    say: [{ kind: 'HelpRequested', body: only({ about: answers.about, what: asText(answers.what) }) }],
    done: { title: HELP.done, lines: [HELP.doneHelp], phone: true },
  }
}

export const supplies: Flow = answers => {
  const choices = Object.entries(SUPPLIES.items).map(([value, label]) => ({ value, label }))
  if (answers.item === undefined) return { ask: { id: 'item', kind: 'one', ask: SUPPLIES.item, choices } }
  if (answers.howMany === undefined)
    return {
      ask: {
        id: 'howMany',
        kind: 'number',
        ask: SUPPLIES.howMany,
        schema: count.min(1),
        skip: SUPPLIES.unknown,
        fills: 'howMany',
      },
    }
  if (answers.what === undefined)
    return {
      ask:
        answers.item === 'other'
          ? text('what', SUPPLIES.whatOther, SUPPLIES.whatHelp)
          : text('what', SUPPLIES.what, SUPPLIES.whatHelp, SUPPLIES.skip),
    }
  const body = only({
    item: answers.item,
    howMany: asNumber(answers.howMany),
    what: asText(answers.what),
  })
  const ballots = answers.item === 'ballots'
  return {
    say: [{ kind: 'SuppliesRequested', body }],
    done: { title: SUPPLIES.done, lines: ballots ? [SUPPLIES.doneBallots] : [], phone: ballots },
  }
}

export const suspend: Flow = answers => {
  if (answers.cause === undefined)
    return { ask: { id: 'cause', kind: 'one', ask: SUSPEND.cause, choices: categories } }
  if (answers.what === undefined) return { ask: text('what', SUSPEND.what, HELP.whatHelp, SUSPEND.skip) }
  return {
    say: [{ kind: 'PollsSuspended', body: only({ cause: answers.cause, what: asText(answers.what) }) }],
    done: { title: SUSPEND.done, lines: [SUSPEND.doneHelp], stop: true, phone: true },
  }
}

export const resume: Flow = answers =>
  answers.resume === undefined
    ? {
        ask: {
          id: 'resume',
          kind: 'one',
          ask: SUSPEND.resume,
          choices: [
            { value: 'yes', label: SUSPEND.yes },
            { value: 'no', label: SUSPEND.no, leave: true },
          ],
        },
      }
    : { say: [{ kind: 'PollsResumed', body: {} }], done: { title: SUSPEND.resumed } }
