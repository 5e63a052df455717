/** Cards of the quick reference about the room and who is in it, by code; made as voterCards are. */
export const roomCards = {
  'whom-to-call': {
    title: 'Whom to call',
    text: 'Call the office first. Say your precinct, then what is wrong.\nThe line is busy? Ask on this page that they call you.\nSomeone is hurt or in danger? Call 911 first.',
    todo: 'Write down when you called and what they said.',
    never: 'Never give a voter’s name where others can hear it.',
    find: 'phone, telephone, number, contact, office, key, building, locked, doctor, 911, ambulance',
  },
  danger: {
    title: 'Threat, fire or flood',
    text: 'Get people out first. Then call 911. Then call the office.\nOnly if it is safe, two {workers} take ballots, box and seals along.\nKeep the box and seals in sight of both, all the way.\nThe office says where and when voting goes on.',
    todo: 'Report that voting has stopped.\nWrite down the time, and how many were in line.',
    never: 'Never go back in for ballots or machines.\nNever touch a strange bag or parcel.',
    find: 'fire, smoke, alarm, flood, water, bomb, gun, weapon, shooter, threat, evacuate, emergency, police, earthquake, tornado, gas, 911',
  },
  'trouble-maker': {
    title: 'Someone makes trouble',
    text: 'Stay calm. Speak low. Keep your hands in sight.\nSay the rule once, and ask the person to follow it.\nGet the {lead}. Let others vote on, away from it.\nIt goes on? The {lead} acts as your county’s procedure says.\nAsk the office before a voter has to leave.',
    todo: 'In danger? Call 911, then the office.\nReport it under Incident: when, what, and what was done.',
    never: 'Never touch anyone.\nNever argue.',
    find: 'fight, angry, shout, drunk, threat, threaten, police, disturb, campaign, sign, shirt, intimidate, conduct, argue, weapon',
  },
  'power-network': {
    title: 'No power, or no network',
    text: 'Voting goes on. A paper ballot needs no power.\nTabulator dark? Use the emergency slot, as your county’s procedure says.\nPollbook dark? Use the paper list or what your county set for this.\nThis page works without a network. It sends when it can.',
    todo: 'Check plug, switch and power strip first.\nThen report it and call the office.\nBring light to the booths.',
    never: 'Never send voters home.\nNever lay a cord where people walk.',
    find: 'electricity, outage, blackout, light, dark, battery, plug, cable, internet, wifi, connection, offline, signal',
  },
  'people-in-room': {
    title: 'Who may be in the room',
    text: 'Voters who vote, and their children.\nA helper whom the voter picked.\n{Workers}, and the office’s own people with a badge.\nObservers and press only as your county sets.\nFixing a machine? Only if the office told you they would come.',
    todo: 'Ask for the badge or letter.\nUnsure? Call the office before you let someone in.',
    never:
      'Never let anyone campaign here. How far away they stay is as your county sets.\nNever let a stranger touch the equipment.',
    find: 'allowed, enter, visitor, stranger, children, badge, technician, police, campaign, electioneering, candidate, feet',
  },
  'press-observers': {
    title: 'Press and observers',
    text: 'Ask for the badge or letter. Write down who came and when.\nShow where they may stand, as your county sets.\nThey watch. They do not help, and they touch nothing.\nAn observer asks the {lead}. Press questions go to the office.\nPhotos and film only as your county sets.',
    todo: 'Treat all sides the same.\nUnsure what one may see? Call the office.',
    never: 'Never let anyone see or film a ballot.\nNever guess at numbers.',
    find: 'reporter, media, news, camera, photo, film, video, watcher, poll watcher, party, monitor, phone',
  },
  'tabulator-distance': {
    title: 'Space around the tabulator',
    text: 'Keep others as far from it as your county sets.\nOne voter at a time puts in a ballot.\nStand where you can see the tabulator, but no ballot.\nStep up only when the voter asks, or when it shows a problem.',
    todo: 'Mark on the floor where the line waits.\nThank the voter when the ballot is in.',
    never: 'Never take a ballot from a voter who has not asked.\nNever leave the tabulator with no one near.',
    find: 'distance, feet, stand, privacy, secret, near, close, how far, machine, scanner, floor',
  },
}
