/** What a worker can try before the office is called, one thing at a time. Common practice. */

export const remedies = {
  'building-locked': {
    first: 'Try every door. Ring the bell, or knock.',
  },
  'people-missing': {
    first: 'Ask if anybody here has heard from them.',
    second: 'Share the roles among those who are here. Can you open with them?',
  },
  'ballots-differ': {
    first: 'Look in every case and bag for packs that were not counted.',
    second: 'Let two other people count the packs.',
  },
  'pack-count-differs': {
    first: 'Let a second person count the pack.',
    second: 'Write the true number on the pack and on the list. Then use the pack.',
  },
  'wrong-ballots': {
    first: 'Put them aside and mark them. Look for your own ballots in the other cases.',
  },
  'seal-different': {
    first: 'Look if this is the right container. Let a second person read the number.',
  },
  'seal-broken': {
    first: 'Do not touch it. Look from all sides for a whole seal.',
  },
  'box-not-empty': {
    first: 'Look together, two people. If it is only packing, take it out and look again.',
  },
  'box-not-locking': {
    first: 'Press every lid and flap shut. Then turn the key again.',
    second: 'Try the other keys that came with the box.',
  },
  'flap-closed': {
    first: 'Look at the flap of the box. Open it all the way. Feed no ballot before the polls open.',
    second: 'Lift the tabulator. Look for anything that lies in the way.',
  },
  'not-seated': {
    first: 'Look for a cable or paper below it, and take it out.',
    second: 'Lift the tabulator and set it down again until it lies flat on the box.',
  },
  'no-power': {
    first: 'Push the plug in at both ends.',
    second: 'Use another wall outlet. Plug nothing else into it.',
    third: 'Look for a switch on the cable or the wall, and turn it on.',
  },
  'no-sound': {
    first: 'Lift the tabulator and set it down again so that it joins with the box.',
    second: 'Turn it off and on once, as your county’s procedure says. Listen.',
  },
  'no-prompt': {
    first: 'Look if its lamp is on. Then wait one full minute.',
    second: 'Turn it off and on once, as your county’s procedure says.',
  },
  'tape-not-printed': {
    first: 'Look at the paper. Put the roll in so that it runs the right way.',
    second: 'Press the paper cover shut. Print again.',
  },
  'tape-wrong': {
    first: 'Read it again, line by line, with a second person.',
  },
  'door-not-closing': {
    first: 'Look if the memory device is all the way in. Do not use force.',
    second: 'Take away what is caught in the door. Close it again.',
  },
  'seal-short': {
    first: 'Look in every pocket of the supply case for a spare seal.',
  },
  'pollbook-down': {
    first: 'Look at its plug and its cable. Turn it off and on once.',
    second: 'Use the paper roster or the other pollbook. Can you check in voters now?',
  },
  'accessible-not-working': {
    first: 'Look at its plugs, its headset and its keypad. Push each one in.',
    second: 'Turn it off and on once, as your county’s procedure says.',
  },
  'room-short': {
    first: 'Look in all cases and in the storage room.',
    second: 'Use tables of the building. Turn them so that each voter is alone.',
  },
  'entrance-blocked': {
    first: 'Clear the way with others, if that is safe.',
    second: 'Open another way in that has no steps. Mark it from the street.',
  },
  'line-continues': {
    first: 'Whoever was in line at closing time votes. Let a {worker} stand at the end of the line.',
  },
  'closing-tape-not-printed': {
    first: 'Look at the paper. Put the roll in so that it runs the right way.',
    second: 'Press the paper cover shut. Print again.',
  },
  'counts-differ': {
    first: 'Let a second person add up each number again.',
    second: 'Look for spoiled ballots, envelopes and slot ballots that were left out.',
  },
  'memory-stuck': {
    first: 'Look if the tabulator is closed and off, as your county’s procedure says.',
    second: 'Pull it straight out with your hand. Use no tool and no force.',
  },
  'items-missing': {
    first: 'Go through the list again. Look in every bag and case.',
    second: 'Look in the booths, below the tables and in the emergency slot.',
  },
  'nobody-to-carry': {
    first: 'Ask everybody. Can two people go together?',
  },
  other: {},
}

/** What to do until the office answers. */
export const meanwhile = {
  door: 'Wait together at the door. Ask voters to wait. Do not force a door.',
  goOn: 'Go on with the other steps.',
  leave: 'Leave it as it is. Two people stay beside it. Nobody touches it.',
  aside: 'Keep it apart, in sight of two people.',
  out: 'Keep this tabulator out of use. Use another one, or the emergency slot as your county’s procedure says.',
  outPower: 'Move nothing that is sealed. If no tabulator works, ballots go in the emergency slot.',
  noVote: 'Send no voter away. Help as your county’s procedure says.',
  line: 'Let those in line vote. Nobody else joins the line.',
  keep: 'Keep the ballots and the device together, with two people beside them.',
  write: 'Write down both numbers. Change nothing.',
}
