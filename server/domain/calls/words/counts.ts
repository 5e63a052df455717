import { grouped, listed, minutesWords, plural, type Say, type WordsOf } from './say.ts'

export const countMissing: WordsOf = say => {
  const last = say.number('countedAt')
  const every = minutesWords(say.number('everyMinutes') ?? 0)
  return {
    headline: 'No fresh count',
    fact:
      last === null
        ? `No count has come since the polls opened; one is due at least every ${every}.`
        : `The last count is of ${say.ago(last)}; one is due at least every ${every}.`,
    ask: 'How many voters are checked in, what does each public counter show, how many are in line, how many ballots are left?',
    ends: 'It ends with the next count.',
  }
}

export const countDoubtful: WordsOf = say => {
  const is = grouped(say.number('count') ?? 0)
  const before = grouped(say.number('before') ?? 0)
  const at = say.time('countedAt')
  const told: Record<string, string> = {
    back: `At ${at} the voters checked in were given as ${is}, fewer than ${before} before. No forecast uses that count.`,
    jump: `At ${at} the voters checked in were given as ${is}, after ${before}: more than the stations could have taken meanwhile. No forecast uses that count.`,
    stuck: `At ${at} the voters checked in were given as ${is}, as before, though many were expected meanwhile.`,
  }
  return {
    headline: 'Count in doubt',
    fact: told[say.text('what')] ?? `The count of ${at}, ${is} voters checked in, doesn’t fit the others.`,
    ask: 'Read me the voters checked in and each public counter once more. Was a digit mistyped, or an older count written again?',
    ends: 'It ends with a newer count that fits the others.',
  }
}

const PART: Record<string, string> = {
  tabulated: 'tabulated',
  'in-slot': 'in the slot',
  provisional: 'provisional',
  spoiled: 'spoiled',
}

export const countsApart: WordsOf = say => {
  const ofBallots = say.text('of') === 'ballots'
  const unexplained = say.number('unexplained') ?? 0
  const things = unexplained > 0 && !ofBallots ? 'voter' : 'ballot'
  const left = ofBallots
    ? `${plural(say.number('left') ?? 0, 'ballot')} used`
    : `${plural(say.number('left') ?? 0, 'voter')} checked in`
  const parts = say.list('parts').map(part => PART[part] ?? part)
  const right = `${grouped(say.number('right') ?? 0)} ${parts.length > 0 ? listed(parts) : 'tabulated'}`
  return {
    headline: 'Counts apart',
    fact: `${left}, but ${right}, by ${counted(say)}. Voters who are still voting and counts of different minutes explain a difference of ${say.number('explained') ?? 0}; that leaves ${plural(Math.abs(unexplained), things)} ${unexplained > 0 ? 'missing' : 'too many'}.`,
    ask: ofBallots
      ? 'Read me each public counter, the ballots left, the slot, spoiled and provisional once more, all at one minute. Was a pack opened, brought or taken away?'
      : 'Read me the voters checked in, each public counter, the slot and provisional once more, all at one minute. Did somebody leave without casting?',
    ends: 'It ends when newer counts agree, or when the polls close.',
  }
}

function counted(say: Say): string {
  const oldest = say.time('oldestAt')
  const newest = say.time('newestAt')
  return oldest === newest ? `counts of ${newest}` : `counts from ${oldest} to ${newest}`
}

export const notReconciled: WordsOf = say => {
  const ballots = say.number('ballots') ?? 0
  const voters = say.number('voters') ?? 0
  const tolerance = say.number('tolerance') ?? 0
  const off = [
    difference(ballots, tolerance, 'ballot', 'used and not accounted for', 'accounted for and not used'),
    difference(
      voters,
      tolerance,
      'voter',
      'checked in without a ballot cast',
      'fewer checked in than ballots cast',
    ),
  ].filter(words => words !== '')
  return {
    headline: 'Not reconciled',
    fact: `By the closing counts of ${say.time('countedAt')}: ${listed(off)}. No explanation was written with them.`,
    ask: 'Which count was done twice, and which once? Look through spoiled, provisional, slot and unopened packs again. What explains the difference? Write it down.',
    ends: 'It ends when the counts are reconciled anew and hold, or with an explanation.',
  }
}

function difference(by: number, tolerance: number, one: string, missing: string, over: string): string {
  return Math.abs(by) <= tolerance ? '' : `${plural(Math.abs(by), one)} ${by > 0 ? missing : over}`
}
