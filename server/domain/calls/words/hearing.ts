import { rareWords } from '../../forecast/say.ts'
import { TROUBLES } from '../../plan/troubles.ts'
import { grouped, listed, plural, type Say, type WordsOf } from './say.ts'

export const silent: WordsOf = say => ({
  headline: 'Silent',
  fact: `Nothing has been heard from here since ${say.ago(say.number('heardAt') ?? say.reason.since)}. How things stand there now is not known.${rhythm(say)}`,
  ask: 'Is everything running? Is the tablet on and charged, and does it say that it is connected? Give me your counts by telephone meanwhile.',
  ends: 'It ends when the precinct is heard again.',
})

function rhythm(say: Say): string {
  const gap = say.number('usualGapSeconds')
  const oneIn = say.number('oneIn')
  if (gap === null || oneIn === null) return ''
  return ` In the log it is usually heard every ${plural(gap, 'second')}; by its own rhythm a quiet as long as when it was called silent: ${rareWords(1 / Math.max(1, oneIn), RAREST_QUIET)}.`
}

/** What is rarer is only said to be rarer than this: of a quiet its rhythm proves no more (calls/rules/hearing.ts). */
const RAREST_QUIET = 1_000
const RAREST_TOGETHER = 1_000_000

const ABOUT: Record<string, string> = {
  'place-not-open': 'the place not being open',
  equipment: 'equipment',
  supplies: 'supplies',
  'long-line': 'a long line',
  workers: 'workers',
  power: 'power',
  communications: 'communications',
  weather: 'weather',
  security: 'security',
  medical: 'a medical matter',
  access: 'access to the place',
  conduct: 'somebody’s conduct',
  custody: 'custody of materials',
  other: 'something else',
}

const ITEM: Record<string, string> = {
  ballots: 'ballots',
  pens: 'pens',
  forms: 'forms',
  power: 'power',
  other: 'supplies',
}

/** A request as the evidence has it: of the first its own fields, of the others JSON text (calls/rules/hearing.ts). */
type Asked = Readonly<Record<string, unknown>>

/** The trouble at its step where the page's guide led to it, what is to be brought, or what it is about. */
function wanted(asked: Asked, say: Say): string {
  const text = (name: string) => (typeof asked[name] === 'string' ? asked[name] : '')
  const item = text('item')
  const howMany = typeof asked.howMany === 'number' ? asked.howMany : null
  if (item === 'workers') {
    const workers = howMany === null ? 'standby workers' : plural(howMany, 'standby worker')
    return `it asks for ${workers}`
  }
  if (item !== '') return `${howMany === null ? '' : `${grouped(howMany)} `}${ITEM[item] ?? item}`
  const code = text('trouble')
  const trouble =
    code !== 'other' && Object.hasOwn(TROUBLES, code) ? TROUBLES[code as keyof typeof TROUBLES] : ''
  const about = trouble || (ABOUT[text('about')] ?? text('about'))
  const step = text('step')
  return step === '' ? about : `${about}, at “${say.step(step)}”`
}

/** Every other request that stands, in the order in which they were asked. */
function alsoWanted(say: Say): string {
  const others = say.list('also').map(each => JSON.parse(each) as Asked)
  return others
    .map(
      asked =>
        ` At ${say.ago(typeof asked.askedAt === 'number' ? asked.askedAt : say.reason.since)}: ${wanted(asked, say)}.`,
    )
    .join('')
}

export const helpAsked: WordsOf = say => ({
  headline: 'Help asked for',
  fact: `The precinct asked for help at ${say.ago(say.number('askedAt') ?? say.reason.since)}: ${wanted(say.reason.evidence, say)}.${alsoWanted(say)}`,
  ask: 'What has happened, is anybody in danger, can voters vote, and what do you need?',
  ends: 'It ends when a call about it is logged as solved or being watched.',
})

export const placeMoved: WordsOf = say => {
  const cause = say.text('cause')
  return {
    headline: 'Place moved',
    fact: `The precinct said at ${say.ago(say.number('movedAt') ?? say.reason.since)} that it must leave its building: ${ABOUT[cause] ?? cause}. Where it goes stands among its entries.`,
    ask: 'Is everybody safe? Who is with the ballots and the machines? Where do you vote now, and does a sign at the old door say so?',
    ends: 'It ends when a call about it is logged as solved.',
  }
}

export const keptAside: WordsOf = say => {
  const open = say.list('ofEach').map(Number)
  const tablets =
    open.length === 1 ? 'a tablet that was replaced, or that was copied,' : `${open.length} tablets`
  const reports = open.reduce((sum, howMany) => sum + howMany, 0)
  return {
    headline: 'Kept aside',
    fact: `${plural(reports, 'report')} of ${tablets} ${reports === 1 ? 'is' : 'are'} kept aside since ${say.ago(say.reason.since)}. Nothing of it counts until somebody at the desk accepts it. The precinct’s drawer lists it under “Kept aside”.`,
    ask: 'Which tablet do you report with? Is what the other one said still right, and has anybody told you to put it away?',
    ends: 'It ends when each report was accepted or left out.',
  }
}

export const ownLink: WordsOf = say => ({
  headline: 'Our own link',
  fact: `${say.number('missing') ?? 0} of ${plural(say.number('of') ?? 0, 'device')} went missing at about the same time, so it is most likely our link that is down. While this stands, no single precinct is called silent.`,
  ask: 'Is the office’s own connection up, and this server reachable from outside? Ring one precinct and ask whether all is well there.',
  ends: 'It ends when most devices are heard again.',
})

/** How many precincts it names before it only counts them. */
const MOST_NAMES = 6

/**
 * One cause that silent precincts share. The chance is that of Fisher's exact test, one-sided, for those that fell silent
 * within five minutes, times the groups that were looked at; below 1 in 100 it is called (silence/commonCause.ts).
 */
export const silentTogether: WordsOf = say => {
  const ofArea = say.text('group') === 'area'
  const name = say.text('name')
  const first = say.time('firstAt')
  const last = say.time('lastAt')
  const when = first === last ? `since ${first}` : `since ${first}, the last since ${last}`
  const silent = say.number('silent') ?? 0
  const names = say.list('precincts').map(say.precinct)
  const named =
    names.length > MOST_NAMES
      ? `${names.slice(0, MOST_NAMES).join(', ')} and ${names.length - MOST_NAMES} more`
      : listed(names)
  const chance = Math.min(1, (say.number('chance') ?? 0) * (say.number('groups') ?? 1))
  const elsewhere = say.number('otherSilent') ?? 0
  const others = `${elsewhere} of ${grouped(say.number('others') ?? 0)} elsewhere ${elsewhere === 1 ? 'has' : 'have'}`
  return {
    headline: 'Silent together',
    fact: `${silent} of the ${plural(say.number('of') ?? 0, 'precinct')} ${ofArea ? `of the area “${name}”` : `with a tablet “${name}”`} ${silent === 1 ? 'has' : 'have'} been silent ${when}: ${named}. In the same time ${others} fallen silent. So many together by chance: ${rareWords(chance, RAREST_TOGETHER)}. One cause is likely.`,
    ask: ofArea
      ? 'Is the network or the power down in that area? Ring one of them: is everything running there, and what does the tablet say of its connection?'
      : 'Do these tablets share a network or an update? Ring one of them: is everything running there, and what does the tablet say of its connection?',
    ends: 'It ends when fewer than two of them are still silent.',
  }
}
