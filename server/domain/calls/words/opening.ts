import { chanceWords } from '../../forecast/say.ts'
import { MINUTE } from '../../time.ts'
import { listed, minutesWords, type Say, type WordsOf } from './say.ts'

export const notHeard: WordsOf = say => ({
  headline: 'Not heard yet',
  fact: `Nothing has been heard from here today. The team was due at ${say.time('reportAt')}; the polls open at ${say.time('opensAt')}.`,
  ask: 'Are you inside, and who is with you? Is the tablet switched on?',
  ends: 'It ends when the precinct is heard, by its tablet or by telephone.',
})

export const teamShort: WordsOf = say => {
  const missing = say.list('missing')
  const who = missing.length > 0 ? `: ${listed(missing)}` : ''
  return {
    headline: 'Team too small',
    fact: `${say.number('present') ?? 0} are there and ${say.number('short') ?? 0} missing${who}. Said at ${say.time('asOfAt')}.`,
    ask: 'Has anybody come since? Can you open and run with those who are there, or do you need somebody sent?',
    ends: 'It ends when the team reports that every role is filled.',
  }
}

export const behindOnOpening: WordsOf = say => {
  const step = `“${say.step(say.text('step'))}”`
  const steps = `${say.number('done') ?? 0} of ${say.number('of') ?? 0} steps done; ${step} holds it up.`
  const said = {
    headline: 'Opening runs late',
    ask: `What is keeping ${step}? Will you open on time, and what would help?`,
  }
  const ready = `${say.time('readyAt')}${besideOpening(say)}`
  if (say.number('forecastAt') === null)
    return {
      ...said,
      fact: `${minutesWords(say.number('minutesBehind') ?? 0)} behind the usual times, ${steps} At the usual pace it is ready at ${ready}.`,
      ends: 'It ends when the steps have caught up or the polls are open.',
    }
  const onTime = chanceWords(1 - (say.number('chancePercent') ?? 0) / 100)
  return {
    ...said,
    fact: `Ready at about ${ready}, between ${say.time('earliestAt')} and ${say.time('latestAt')} on 80 of 100 such mornings. By ${say.time('opensAt')}: ${onTime}. ${steps}${doneInTime(say)}`,
    ends: 'It ends when the chance of being late falls under the policy’s lower bound, or when the polls are open.',
  }
}

/** How far the ready time is from the legal hour: the difference of the two as they are shown, whole minutes. */
function besideOpening(say: Say): string {
  const ready = say.number('readyAt')
  const opens = say.number('opensAt')
  if (ready === null || opens === null) return ''
  const late = Math.floor(ready / MINUTE) - Math.floor(opens / MINUTE)
  if (late > 0) return `, ${minutesWords(late)} after opening time`
  return late < 0 ? ', before opening time' : ', at opening time'
}

/** By when the step that holds it up must be done to leave the rest enough time (readiness/ready.ts: helpBy). */
function doneInTime(say: Say): string {
  const by = say.number('helpByAt')
  if (by === null) return ''
  const verb = by > (say.number('forecastAt') ?? 0) ? 'must' : 'had to'
  return ` It ${verb} be done by ${say.clock(by)} for the rest to fit before opening time on 80 of 100 such mornings.`
}

export const notOpen: WordsOf = say => {
  const ends = 'It ends when the precinct says that voters can vote.'
  if (say.number('suspendedAt') !== null)
    return {
      headline: 'Voting suspended',
      fact: `Voting was suspended at ${say.time('suspendedAt')} and nobody has said that it goes on.`,
      ask: 'What stopped it, are the voters safe, and what do you need to go on? How many are waiting?',
      ends,
    }
  const heard = say.number('heardAt')
  return {
    headline: 'Polls not open',
    fact: `The polls had to open at ${say.time('opensAt')} and nobody has said that they did. ${heard === null ? 'Nothing was heard from here at all.' : `Last heard at ${say.clock(heard)}.`}`,
    ask: 'Are voters being let in? If not, what is missing? If it is a tabulator: is the emergency slot in use, as your county’s procedure says? A doubtful tabulator is no reason to keep the polls shut.',
    ends,
  }
}

const TAPE: Record<string, string> = {
  'precinct-name': 'the precinct’s name is wrong',
  'not-zero': 'not all totals are zero',
  'public-count': 'the public count is wrong',
  'ballot-order': 'the order differs from the ballot',
  'seal-number': 'the seal number differs',
  signatures: 'signatures are missing',
  'not-printed': 'it did not print',
  other: 'something else',
}

export const tapeRejected: WordsOf = say => {
  const problems = say.list('problems').map(p => TAPE[p] ?? p)
  const why = problems.length > 0 ? `: ${listed(problems)}` : ''
  return {
    headline: 'Opening tape wrong',
    fact: `The opening tape of ${say.equipment(say.text('tabulator'))} was rejected at ${say.time('rejectedAt')}${why}. The emergency slot ${say.yes('slotOpen') ? 'is open' : 'is not said to be open'}.`,
    ask: 'Is this tabulator out of use, and the emergency slot in use, as your county’s procedure says? The polls open all the same. What exactly stands on the tape?',
    ends: 'It ends when that tape is verified, or the tabulator is replaced.',
  }
}

export const sealDifferent: WordsOf = say => {
  const container = say.text('container')
  const state = say.text('state')
  const planned = say.text('planned')
  if (state === 'open')
    return {
      headline: 'Seal not renewed',
      fact: `“${container}” was opened at ${say.time('recordedAt')} and no new seal on it is on record.`,
      ask: `Is “${container}” closed and sealed now? Read me the number of the new seal, digit by digit. Who was there when it was opened?`,
      ends: 'It ends when the new seal is recorded, or when the polls close.',
    }
  const found =
    state === 'missing'
      ? 'is missing'
      : state === 'broken'
        ? `${say.text('found')} is broken`
        : `is ${say.text('found')}`
  return {
    headline: 'Seal differs',
    fact: `The seal of “${container}” ${found}; ${planned ? `the record has ${planned}` : 'the record has no number for it'}. Recorded at ${say.time('recordedAt')}.`,
    ask: `Read the number to me once more, digit by digit. Has “${container}” been left untouched? Who has seen it? Go no further with it until the office has answered.`,
    ends:
      state === 'intact'
        ? 'It ends when the seal is recorded again, whole and with the number on record.'
        : 'It ends when a new seal is put on and recorded, or this one is recorded again, whole and with the number on record.',
  }
}
