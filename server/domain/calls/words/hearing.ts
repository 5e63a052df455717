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
  return ` In the log it is usually heard every ${plural(gap, 'second')}; when it was called silent, so long a quiet was ${rarity(oneIn)} by chance.`
}

/** Rarer things are only said to be rarer than this. */
const RAREST = 1_000_000

function rarity(oneIn: number): string {
  return oneIn >= RAREST ? 'rarer than 1 in a million' : `about 1 in ${grouped(Math.max(1, oneIn))}`
}

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

export const helpAsked: WordsOf = say => ({
  headline: 'Help asked for',
  fact: `The precinct asked for help at ${say.ago(say.number('askedAt') ?? say.reason.since)}: ${ABOUT[say.text('about')] ?? say.text('about')}.`,
  ask: 'What has happened, is anybody in danger, can voters vote, and what do you need?',
  ends: 'It ends when a call about it is logged as solved or being watched.',
})

export const ownLink: WordsOf = say => ({
  headline: 'Our own link',
  fact: `${say.number('missing') ?? 0} of ${plural(say.number('of') ?? 0, 'device')} went missing at about the same time, so it is most likely our link that is down. While this stands, no single precinct is called silent.`,
  ask: 'Is the office’s own connection up, and this server reachable from outside? Ring one precinct and ask whether all is well there.',
  ends: 'It ends when most devices are heard again.',
})

/** How many precincts it names before it only counts them. */
const MOST_NAMES = 6

/**
 * One cause that silent precincts share. The chance is that of Fisher's exact test, times the groups that were looked
 * at; below 1 in 100 it is called (silence/commonCause.ts).
 */
export const silentTogether: WordsOf = say => {
  const ofArea = say.text('group') === 'area'
  const name = say.text('name')
  const first = say.time('firstAt')
  const last = say.time('lastAt')
  const when = first === last ? `at ${first}` : `between ${first} and ${last}`
  const names = say.list('precincts').map(say.precinct)
  const named =
    names.length > MOST_NAMES
      ? `${names.slice(0, MOST_NAMES).join(', ')} and ${names.length - MOST_NAMES} more`
      : listed(names)
  const groups = say.number('groups') ?? 1
  const chance = (say.number('chance') ?? 0) * groups
  const oneIn = chance > 0 ? Math.min(RAREST, Math.floor(1 / chance)) : RAREST
  const others = `${say.number('otherSilent') ?? 0} of ${say.number('others') ?? 0} elsewhere`
  return {
    headline: 'Silent together',
    fact: `${say.number('silent') ?? 0} of the ${plural(say.number('of') ?? 0, 'precinct')} ${ofArea ? `of the area “${name}”` : `with a tablet “${name}”`} fell silent ${when}, and ${others}: ${named}. Among ${plural(groups, 'area or kind of tablet', 'areas and kinds of tablet')} that is ${rarity(oneIn)} by chance (Fisher’s exact test; called below 1 in 100). One cause is likely.`,
    ask: ofArea
      ? 'Is the network or the power down in that area? Ring one of them: is everything running there, and what does the tablet say of its connection?'
      : 'Do these tablets share a network or an update? Ring one of them: is everything running there, and what does the tablet say of its connection?',
    ends: 'It ends when fewer than two of them are still silent.',
  }
}
