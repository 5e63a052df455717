import { listed, minutesWords, plural, type WordsOf } from './say.ts'

export const tabulatorDown: WordsOf = say => {
  const eased = say.yes('slotOpen')
    ? 'The emergency slot is open.'
    : say.yes('another')
      ? 'Another tabulator works; the emergency slot is not said to be open.'
      : 'No other works, and the emergency slot is not said to be open.'
  return {
    headline: 'Tabulator down',
    fact: `${say.equipment(say.text('tabulator'))} has been down since ${say.ago(say.number('downAt') ?? say.reason.since)}. ${eased}`,
    ask: 'Is the emergency slot in use, as your county’s procedure says, so that nobody waits? What does its display say, word for word? Is it on its own wall outlet?',
    ends: 'It ends when the tabulator works again or is replaced.',
  }
}

export const accessibleDown: WordsOf = say => ({
  headline: 'Accessible station down',
  fact: `${say.equipment(say.text('equipment'))} has been down since ${say.ago(say.number('downAt') ?? say.reason.since)}. Who needs it can’t vote unaided.`,
  ask: 'Is anybody waiting for it? How are they being helped? What does it show, and is it plugged in?',
  ends: 'It ends when the station works again or is replaced.',
})

export const slotInUse: WordsOf = say => ({
  headline: 'Slot in use',
  fact: `The emergency slot has been open since ${say.ago(say.number('slotAt') ?? say.reason.since)}; out of use: ${listed(say.list('tabulators').map(say.equipment))}.${inSlot(say.number('inSlot'), say.time('countedAt'))}`,
  ask: 'How many ballots are in the slot, and who watches it? How long until the tabulator works?',
  ends: 'It ends when the slot is locked, or when every tabulator works.',
})

export const slotForgotten: WordsOf = say => ({
  headline: 'Slot left open',
  fact: `The emergency slot is still open, though no tabulator has been out of use since ${say.ago(say.number('worksSinceAt') ?? say.reason.since)}.${inSlot(say.number('inSlot'), say.time('countedAt'))}`,
  ask: 'Is the slot locked now? How many ballots are in it, and when do two of you feed them, as your county’s procedure says?',
  ends: 'It ends when the slot is locked.',
})

function inSlot(count: number | null, at: string): string {
  return count === null ? '' : ` Ballots in it at ${at}: ${count}.`
}

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

/** One line of several precincts, named; '' where it is the precinct's own. */
function sharedBy(codes: readonly string[], name: (code: string) => string): string {
  return codes.length > 1 ? `, in the one line of ${listed(codes.map(name))}` : ''
}

export const longLine: WordsOf = say => ({
  headline: 'Line too long',
  fact: `${say.number('inLine') ?? 0} were in line at ${say.time('countedAt')}${sharedBy(say.list('sharedBy'), say.precinct)}. With ${plural(say.number('stations') ?? 0, 'check-in station')} the last of them waits about ${minutesWords(say.number('waitMinutes') ?? 0)}.`,
  ask: 'Where does it hold: check-in, booths or tabulator? Can another station be opened, and who could help? How many are in line now?',
  ends: 'It ends when a reported line means a wait under the policy’s lower bound.',
})

export const ballotsLow: WordsOf = say => {
  const out = say.number('runsOutAt')
  return {
    headline: 'Ballots run low',
    fact: `About ${plural(say.number('left') ?? 0, 'ballot')} left for ${plural(say.number('stillExpected') ?? 0, 'voter')} still expected (${say.number('counted') ?? 0} counted at ${say.time('countedAt')}). ${out === null ? 'They may just last.' : `At this pace the last goes at ${say.clock(out)}.`}`,
    ask: 'How many ballots are left now, of each kind, and how many are still in sealed packs?',
    ends: 'It ends when a count shows enough for the voters still expected.',
  }
}

export const silent: WordsOf = say => ({
  headline: 'Silent',
  fact: `Nothing has been heard from here since ${say.ago(say.number('heardAt') ?? say.reason.since)}. How things stand there now is not known.`,
  ask: 'Is everything running? Is the tablet on and charged, and does it say that it is connected? Give me your counts by telephone meanwhile.',
  ends: 'It ends when the precinct is heard again.',
})

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

export const notClosed: WordsOf = say => {
  const line = say.number('inLine')
  return {
    headline: 'Not closed',
    fact: `Closing time was ${say.time('closesAt')} and nobody has said that the polls are closed.${line === null ? '' : ` In line at ${say.time('countedAt')}: ${line}.`}`,
    ask: 'Are people still in line who came before closing time? How many? Whoever was in line then still votes.',
    ends: 'It ends when the precinct says that the polls are closed.',
  }
}

export const returnOverdue: WordsOf = say => {
  const left = say.number('departedAt')
  const said = say.yes('saidReceived')
    ? `its own tablet said at ${say.time('saidReceivedAt')} that it was received; no station has checked it in.`
    : null
  const due = `All returns were due by ${say.time('returnByAt')}`
  const fact =
    left === null
      ? `${due} and this one is not said to have left${said ? `, but ${said}` : '.'}`
      : `The return left at ${say.ago(left)}${said ? `; ${said}` : ' and has not been received.'}`
  return {
    headline: 'Return overdue',
    fact,
    ask: said
      ? 'Who took it, at which station, and is it there now? Were both carriers with it all the way, and are the seals whole?'
      : 'Where are you, are both carriers together, and are the seals whole? When will you be here?',
    ends: 'It ends when the return is checked in at a station, or the desk writes down that it was received.',
  }
}

export const returnDifferent: WordsOf = say => {
  const parts = [
    ['missing items', say.list('itemsMissing')],
    ['items nobody named', say.list('itemsExtra')],
    ['missing seals', say.list('sealsMissing')],
    ['other seals', say.list('sealsExtra')],
  ] as const
  const differs = parts
    .filter(([, list]) => list.length > 0)
    .map(([what, list]) => `${what}: ${listed(list)}`)
  return {
    headline: 'Return differs',
    fact: `The return checked in at ${say.ago(say.number('receivedAt') ?? say.reason.since)} is not what was sent: ${differs.join('; ')}.`,
    ask: 'Where is what is missing, who has it, and were two people with it all the way? What does the seal look like, and who put it on?',
    ends: 'It ends when a call about it is logged as solved, or when the return is checked in anew and nothing differs.',
  }
}

export const ownLink: WordsOf = say => ({
  headline: 'Our own link',
  fact: `${say.number('missing') ?? 0} of ${plural(say.number('of') ?? 0, 'device')} went missing at about the same time, so it is most likely our link that is down. While this stands, no single precinct is called silent.`,
  ask: 'Is the office’s own connection up, and this server reachable from outside? Ring one precinct and ask whether all is well there.',
  ends: 'It ends when most devices are heard again.',
})
