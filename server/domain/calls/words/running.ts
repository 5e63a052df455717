import { listed, minutesWords, plural, sharedBy, type WordsOf } from './say.ts'

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

export const longLine: WordsOf = say => {
  const service = say.number('serviceMinutes')
  const pace = service === null ? '' : `, at ${plural(service, 'minute')} a voter,`
  return {
    headline: 'Line too long',
    fact: `${say.number('inLine') ?? 0} were in line at ${say.time('countedAt')}${sharedBy(say)}. With ${plural(say.number('stations') ?? 0, 'check-in station')}${pace} the last of them waits about ${minutesWords(say.number('waitMinutes') ?? 0)}.`,
    ask: 'Where does it hold: check-in, booths or tabulator? Can another station be opened, and who could help? How many are in line now?',
    ends: 'It ends when a reported line means a wait under the policy’s lower bound.',
  }
}

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
