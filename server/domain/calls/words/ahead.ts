import { chanceIn, grouped, minutesWords, plural, type Say, sharedBy, type WordsOf } from './say.ts'

/** Words of what is forecast to become so. */

const STAGE: Record<string, string> = {
  'check-in': 'Check-in is',
  booths: 'The booths are',
  tabulator: 'The tabulator is',
}

/** A load this high, in percent, is one of a stage that takes nobody (lines/stages.ts: at most 99). */
const NOTHING = 9_900

export const lineGrowing: WordsOf = say => {
  const bottleneck = say.text('bottleneck')
  const pace =
    bottleneck === 'check-in' ? `, at ${plural(say.number('serviceMinutes') ?? 0, 'minute')} a voter` : ''
  const load = say.number('loadPercent') ?? 0
  const asked =
    load >= NOTHING ? 'it takes nobody now' : `over two hours it is asked for ${load}% of what it can take`
  const said = say.number('said')
  const line =
    said === null
      ? `About ${grouped(say.number('inLine') ?? 0)} are in line by the forecast`
      : `${grouped(said)} were in line at ${say.time('saidAt')}`
  return {
    headline: 'Line grows',
    fact: `Whoever comes at about ${say.time('worstAt')} waits over ${minutesWords(say.number('longMinutes') ?? 0)}: ${chanceIn(say, 'chancePercent')}. ${line}${sharedBy(say)}; who joins now waits about ${minutesWords(say.number('waitMinutes') ?? 0)}. ${STAGE[bottleneck] ?? `${bottleneck} is`} the slowest${pace}: ${asked}.`,
    ask: `Where does it hold: check-in, booths or tabulator? Can another station be opened before ${say.time('worstAt')}, and who could help? How many are in line now?`,
    ends: 'It ends when the chance of so long a wait falls under the policy’s lower bound, or the line is long.',
  }
}

export const ballotsLow: WordsOf = say => {
  const left = `About ${plural(say.number('left') ?? 0, 'ballot')} left`
  const ask = 'How many ballots are left now, of each kind, and how many are still in sealed packs?'
  if (say.number('forecastAt') === null) {
    const out = say.number('runsOutAt')
    return {
      headline: 'Ballots run low',
      fact: `${left} for ${plural(say.number('stillExpected') ?? 0, 'voter')} still expected (${say.number('counted') ?? 0} counted at ${say.time('countedAt')}). ${out === null ? 'They may just last.' : `At this pace the last goes at ${say.clock(out)}.`}`,
      ask,
      ends: 'It ends when a count shows enough for the voters still expected.',
    }
  }
  return {
    headline: 'Ballots run low',
    fact: `${left} by the count of ${say.time('countedAt')}; until closing about ${grouped(say.number('wanted') ?? 0)} are wanted, at most ${grouped(say.number('wanted90') ?? 0)} on 90 of 100 such days. Running out before closing: ${chanceIn(say, 'chancePercent')}.${styleWords(say)}${delivery(say)}`,
    ask,
    ends: 'It ends when that chance falls under the policy’s lower bound.',
  }
}

function styleWords(say: Say): string {
  const style = say.text('style')
  return style === '' ? '' : ` Of the style “${style}”: ${chanceIn(say, 'stylePercent')}.`
}

function delivery(say: Say): string {
  const ends = say.number('endsAt') === null ? '' : ` The last is used at about ${say.time('endsAt')}.`
  if (say.number('neededByAt') === null) return ends
  const leave =
    say.number('leaveByAt') === null ? '' : `; whoever brings them leaves by ${say.time('leaveByAt')}`
  return `${ends} More must be there by ${say.time('neededByAt')}${leave}.`
}
