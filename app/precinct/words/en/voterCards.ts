/**
 * Cards of the quick reference about voters and their ballots, by code: common practice, never what a law says.
 * `text`, `todo`, `never`: a line each; `find`: other words under which a card is found.
 */
export const voterCards = {
  provisional: {
    title: 'Not on the list, or at the wrong place',
    text: 'Look again. Try another spelling, a past last name, the street.\nLook up the right place. The office can help.\nAt the wrong place? Say where the right one is and when it closes.\nSome voters may vote here by provisional ballot, as your county’s procedure says.\nIt goes into its own envelope. The office decides later if it counts.',
    todo: 'Keep the envelope apart from other ballots.\nTell the voter how to find out if it counted.',
    never: 'Never send a voter away unsure. Ask the office first.',
    find: 'provisional, wrong precinct, wrong polling place, moved, address, not registered, name missing, check-in, roster, pollbook, envelope',
  },
  'ballot-refused': {
    title: 'The tabulator refuses a ballot',
    text: 'Let the voter read the screen first. It says why.\nOften there are too many marks, no marks, or a stray mark.\nThe voter may fix it on a new ballot, or cast it as it is, as your county sets.\nStuck inside? Two {workers} free it together. No one reads it.',
    todo: 'Turn the ballot the other way and try again.\nAre many refused? Report it under Equipment and call the office.',
    never: 'Never read the ballot.\nNever say out loud what the screen shows.',
    find: 'reject, rejected, returned, jam, jammed, stuck, overvote, too many marks, blank, scanner, machine, does not take',
  },
  'spoiled-ballot': {
    title: 'A mistake on the ballot',
    text: 'The voter may ask for a new ballot.\nThe old one is marked as spoiled and goes into its envelope.\nSome counties set how many new ballots a voter may have.\nCount it as spoiled. You need that number at the close.',
    todo: 'Ask the voter to fold or cover the old ballot first.\nWrite it down as your county does.',
    never: 'Never look how it was marked.\nNever throw a ballot away.',
    find: 'spoiled, spoil, new ballot, replace, wrong mark, error, torn, again',
  },
  assisting: {
    title: 'Helping a voter to vote',
    text: 'A voter may need help to read or mark the ballot.\nThe voter picks who helps. It can be a friend, or two {workers}.\nOften not allowed: the voter’s boss, or someone from the voter’s union.\nSome counties set how many voters one person may help.\nThe helper may have to sign a form.',
    todo: 'Wait until the voter asks. Speak to the voter, not to the helper.\nMark just what the voter tells you.',
    never: 'Never hint how to vote.\nNever tell how someone voted.',
    find: 'assist, assistance, help, helper, blind, cannot read, disability, disabled, mark for, union, employer',
  },
  language: {
    title: 'Help in another language',
    text: 'Use the ballots, signs and cards that you have in that language.\nA {worker} who speaks it may help.\nThe voter may bring someone who speaks it.\nThe office may have someone who can help by phone.',
    todo: 'Let the voter point to the language.\nSpeak slowly, and use short words.',
    never: 'Never pick a helper for the voter.\nNever send a voter away over language.',
    find: 'spanish, translate, translator, interpreter, speak, english, bilingual',
  },
  accessible: {
    title: 'The accessible station',
    text: 'Any voter may use it. No one has to say why.\nShow how it starts, then step away.\nKeep room for a wheelchair, and keep the screen out of sight.\nIt does not work? Report it under Equipment and call the office.',
    todo: 'Offer it to each voter in the same way.\nClean the headset, and give the voter time.',
    never: 'Never ask what is wrong with a voter.\nNever watch the screen.',
    find: 'disability, disabled, wheelchair, blind, headphones, headset, audio, ballot marking, device, access, ramp',
  },
  curbside: {
    title: 'Voting at the curb',
    text: 'This is for a voter who cannot come in.\nTwo {workers} go out with what is needed and a cover.\nCheck the voter in as your county does.\nThe voter marks the ballot with no one watching.\nBring it back covered and put it where your county says.',
    todo: 'Look for the sign or the bell all day.\nCount this voter under Counts.',
    never: 'Never go out alone.\nNever let a car wait unseen.',
    find: 'curbside, car, vehicle, outside, parking, cannot walk, bell, drive',
  },
  'write-in': {
    title: 'Write-in votes',
    text: 'A voter may write a name where the ballot has a line for it.\nThere may be an oval by the line. The voter fills it in too.\nThe office finds out later which names count.',
    todo: 'Show how it is done on a sample ballot.\nSend questions about names to the office.',
    never: 'Never say or spell a name for a voter.\nNever say if a name will count.',
    find: 'write in, write-ins, name, candidate, not listed, other person, oval',
  },
  'closing-line': {
    title: 'The line at closing time',
    text: 'As a rule, those in line at closing time still vote.\nMark the end of the line at that minute, as your county sets.\nA {worker} stands behind the last person.\nThose who come later hear kindly that voting is over.\nMore hours? Only the office can tell you.',
    todo: 'Call out the time when half an hour is left, and at the close.\nReport the last voter when all have voted.',
    never: 'Never close early.\nNever start the closing steps while people vote.',
    find: 'close, closing, queue, end of line, late, last voter, extended hours, court, wait, too late',
  },
}
