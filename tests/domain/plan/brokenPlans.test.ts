import { describe, expect, it } from 'vitest'
import { goodTexts, read, replaced } from './brokenSupport.ts'

/** One small change to a good plan, and all that the checker says of it: file, line, column, found, what would do. */
type Broken = [what: string, from: string, to: string, ...says: string[]]

const all = (file: string, cases: Broken[]) =>
  it.each(cases)('%s', (_, from, to, ...says) => {
    expect(replaced(file, from, to)).toEqual(says)
  })

it('the plan that is broken below is good', () => {
  expect(read({})).toHaveProperty('plan.county', 'Ellery County')
})

describe('precincts.csv broken by', () => {
  all('precincts.csv', [
    [
      'a misspelt column',
      'stations',
      'statoins',
      'precincts.csv:1 statoins: found "statoins"; unknown column; known are code, name, place, registered, expected, ballots, stations, booths, workers, serves, counted, sheets; did you mean “stations”?',
      'precincts.csv:1 stations: the column is missing; add it to the header',
    ],
    [
      'a column in another language',
      'booths',
      'Wahlkabinen',
      'precincts.csv:1 Wahlkabinen: found "Wahlkabinen"; unknown column; known are code, name, place, registered, expected, ballots, stations, booths, workers, serves, counted, sheets',
      'precincts.csv:1 booths: the column is missing; add it to the header',
    ],
    [
      'a column that stands twice',
      'workers',
      'booths',
      'precincts.csv:1 booths: found "booths"; the column stands twice; take one of the two away',
      'precincts.csv:1 workers: the column is missing; add it to the header',
    ],
    [
      'no header at all',
      'code,name,place,registered,expected,ballots,stations,booths,workers\n',
      '',
      'precincts.csv:1: found "gull-point,Gull Point,boathouse,1000,600,800,2,8,5"; a header row with the columns code, name, place, registered, expected, ballots, stations, booths, workers, serves, counted, sheets, divided by commas, semicolons or tabs',
    ],
    [
      'a thousands separator',
      '1000,600',
      '"1,000",600',
      'precincts.csv:2 registered: found "1,000"; a whole number without separators: 1000',
    ],
    [
      'a thousands separator of another country',
      '1000,600',
      '1.000,600',
      'precincts.csv:2 registered: found "1.000"; a whole number without separators: 1000',
    ],
    [
      'words for a number',
      '1000,600',
      'about 1000,600',
      'precincts.csv:2 registered: found "about 1000"; a whole number, such as 12',
    ],
    [
      'a fraction of a voter',
      '1000,600',
      '1000,600.5',
      'precincts.csv:2 expected: found "600.5"; a whole number, such as 12',
    ],
    ['a negative number', '1000,600', '1000,-600', 'precincts.csv:2 expected: found "-600"; at least 0'],
    [
      'more voters than a county has',
      '1000,600',
      '1000,6000000',
      'precincts.csv:2 expected: found "6000000"; at most 1000000',
    ],
    [
      'a formula’s error',
      '1000,600',
      '#REF!,600',
      'precincts.csv:2 registered: found "#REF!"; a whole number, such as 12',
    ],
    ['nobody at check-in', ',2,8,5', ',0,8,5', 'precincts.csv:2 stations: found "0"; at least 1'],
    ['a name that is missing', 'Gull Point,', ',', 'precincts.csv:2 name: must be given'],
    [
      'a name that is too long',
      'Gull Point,',
      `${'Gull '.repeat(20)},`,
      'precincts.csv:2 name: found "Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull Gull…"; at most 80 characters',
    ],
    [
      'a space in a code',
      'gull-point,G',
      'gull point,G',
      'precincts.csv:2 code: found "gull point"; letters, digits, dot, dash or underscore',
      'precincts.csv:2 code: found "gull point"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      'equipment.csv:2 precinct: found "gull-point"; a code that stands in precincts.csv; did you mean “gull point”?',
      'seals.csv:2 precinct: found "gull-point"; a code that stands in precincts.csv; did you mean “gull point”?',
      'contacts.csv:2 precinct: found "gull-point"; a code that stands in precincts.csv; did you mean “gull point”?',
    ],
    [
      'a sign that can’t be seen in a code',
      'north-light,N',
      'north\u200Dlight,N',
      'precincts.csv:3 code: found "north\\u200dlight"; letters, digits, dot, dash or underscore',
      'precincts.csv:3 code: found "north\\u200dlight"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      'equipment.csv:3 precinct: found "north-light"; a code that stands in precincts.csv; did you mean “north\\u200dlight”?',
      'seals.csv:3 precinct: found "north-light"; a code that stands in precincts.csv; did you mean “north\\u200dlight”?',
    ],
    [
      'a place that isn’t there',
      ',boathouse',
      ',boathose',
      'precincts.csv:2 place: found "boathose"; a code that stands in places.csv; did you mean “boathouse”?',
    ],
    [
      'a place in other letters',
      ',boathouse',
      ',Boathouse',
      'precincts.csv:2 place: found "Boathouse"; a code that stands in places.csv; did you mean “boathouse”?',
    ],
    [
      'a code that stands twice',
      'north-light,N',
      'gull-point,N',
      'precincts.csv:3 code: found "gull-point"; stands already in line 2; once is enough',
      'equipment.csv:3 precinct: found "north-light"; a code that stands in precincts.csv',
      'seals.csv:3 precinct: found "north-light"; a code that stands in precincts.csv',
    ],
    [
      'codes that differ in case only',
      'north-light,N',
      'Gull-Point,N',
      'precincts.csv:3 code: found "Gull-Point"; differs only in case from “gull-point” in line 2; give it a name of its own',
      'precincts.csv:3 code: found "Gull-Point"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      'equipment.csv:3 precinct: found "north-light"; a code that stands in precincts.csv',
      'seals.csv:3 precinct: found "north-light"; a code that stands in precincts.csv',
    ],
    [
      'a cell too few',
      'Gull Point,boathouse',
      'Gull Point',
      'precincts.csv:2: found "gull-point,Gull Point,1000,600,800,2,8,5"; 9 cells as in the header, not 8; a cell that holds the divider stands in quotation marks',
    ],
    [
      'a comma that isn’t quoted',
      'Gull Point,',
      'Point, Gull,',
      'precincts.csv:2: found "gull-point,Point, Gull,boathouse,1000,600,800,2,8,5"; 9 cells as in the header, not 10; a cell that holds the divider stands in quotation marks',
    ],
    [
      'a value beside the table',
      ',2,8,5',
      ',2,8,5,,new',
      'precincts.csv:2: found "gull-point,Gull Point,boathouse,1000,600,800,2,8,5,,new"; 9 cells as in the header, not 11; a cell that holds the divider stands in quotation marks',
    ],
    [
      'a column without a name',
      'workers\ngull-point,Gull Point,boathouse,1000,600,800,2,8,5',
      'workers,\ngull-point,Gull Point,boathouse,1000,600,800,2,8,5,x',
      'precincts.csv:2 column 10: found "x"; a name for this column in the header, or nothing in it',
    ],
  ])
})

describe('precincts.csv with newer columns broken by', () => {
  const withColumns = (header: string, first: string, second: string) =>
    read({
      'precincts.csv': goodTexts['precincts.csv']!.split('\n')
        .map((line, i) => `${line},${[header, first, second][i]}`)
        .join('\n'),
    })
  it.each([
    [
      'a vote center with registered voters',
      'serves',
      'everyone',
      '',
      'precincts.csv:2 registered: found "1000"; nothing or 0: a vote center (serves everyone) has no registered voters of its own',
    ],
    [
      'a word that serves doesn’t know',
      'serves',
      'all',
      '',
      'precincts.csv:2 serves: found "all"; one of precinct, everyone',
    ],
    [
      'a central count without a ballot box',
      'counted',
      '',
      'centrally',
      'precincts.csv:3 counted: found "centrally"; at least one ballot-box for north-light in equipment.csv: ballots that are counted centrally go into it',
      'equipment.csv:3 kind: found "tabulator"; no tabulator at north-light: precincts.csv says that it is counted centrally',
    ],
    [
      'a word that counted doesn’t know',
      'counted',
      'downtown',
      '',
      'precincts.csv:2 counted: found "downtown"; one of here, centrally',
    ],
    ['a ballot of five sheets', 'sheets', '5', '', 'precincts.csv:2 sheets: found "5"; at most 4'],
    ['half a sheet', 'sheets', '1.5', '', 'precincts.csv:2 sheets: found "1.5"; a whole number, such as 12'],
    [
      'a column whose name is nearly right',
      'sheet',
      '2',
      '',
      'precincts.csv:1 sheet: found "sheet"; unknown column; known are code, name, place, registered, expected, ballots, stations, booths, workers, serves, counted, sheets; did you mean “sheets”?',
    ],
  ])('%s', (_, header, first, second, ...says) => {
    expect(withColumns(header, first, second)).toEqual({ faults: says })
  })
})

describe('places.csv broken by', () => {
  all('places.csv', [
    ['a latitude beyond the pole', '41.5,', '91.5,', 'places.csv:2 latitude: found "91.5"; at most 90'],
    [
      'a decimal comma among commas',
      '41.5,',
      '"41,5",',
      'places.csv:2 latitude: found "41,5"; a number with a decimal point: 41.5',
    ],
    [
      'degrees and minutes',
      '41.5,',
      '41°30′N,',
      'places.csv:2 latitude: found "41°30′N"; a number, such as 12 or 0.5',
    ],
    ['no latitude', '41.5,', ',', 'places.csv:2 latitude: must be given'],
    [
      'a line that is neither own nor shared',
      goodTexts['places.csv']!,
      goodTexts['places.csv']!.replace('area', 'area,line')
        .replace(/North Shore/g, 'North Shore,both')
        .replace(/,both$/, ',own'),
      'places.csv:2 line: found "both"; one of own, shared',
    ],
    [
      'a quotation mark that is never closed',
      '1 Gull',
      '"1 Gull',
      'places.csv:2: found ""1 Gull Point Road,41.5,-68.5,,North Shore"; a closing quotation mark: the one that opens in this line is never closed',
    ],
    [
      'text after a closing quotation mark',
      '1 Gull Point Road',
      '"1 Gull" Point Road',
      'places.csv:2: found ""1 Gull" Point Road,41.5,-68.5,,North Shore"; nothing between a closing quotation mark and the next divider; inside quotation marks a mark is written twice ("")',
    ],
  ])
})

describe('equipment, seals, rovers and contacts broken by', () => {
  it.each<[string, string, string, string, ...string[]]>([
    [
      'a kind that there isn’t',
      'equipment.csv',
      'T1,gull-point,tabulator',
      'T1,gull-point,scanner',
      'precincts.csv:2 code: found "gull-point"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      'equipment.csv:2 kind: found "scanner"; one of tabulator, accessible-station, pollbook, ballot-box, tablet',
    ],
    [
      'a precinct without a tabulator',
      'equipment.csv',
      '\nT2,north-light,tabulator,Tabulator',
      '',
      'precincts.csv:3 code: found "north-light"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
    ],
    [
      'a tag that stands twice',
      'equipment.csv',
      'T2',
      't1',
      'equipment.csv:3 tag: found "t1"; differs only in case from “T1” in line 2; give it a name of its own',
    ],
    [
      'a precinct that isn’t there',
      'equipment.csv',
      'T2,north-light',
      'T2,north-lite',
      'precincts.csv:3 code: found "north-light"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
      'equipment.csv:3 precinct: found "north-lite"; a code that stands in precincts.csv; did you mean “north-light”?',
    ],
    [
      'a seal number that stands twice',
      'seals.csv',
      'E2',
      'E1',
      'seals.csv:3 number: found "E1"; stands already in line 2; once is enough',
    ],
    [
      'a container that stands twice',
      'seals.csv',
      'north-light',
      'gull-point',
      'seals.csv:3 container: found "gull-point ballot-box"; stands already in line 2; once is enough',
    ],
    ['no seal number', 'seals.csv', 'E1', '', 'seals.csv:2 number: must be given'],
    [
      'a rover from nowhere',
      'rovers.csv',
      'grange',
      'north-light',
      'rovers.csv:2 base: found "north-light"; a code that stands in places.csv',
    ],
    ['a rover without a telephone', 'rovers.csv', '555-0170', '', 'rovers.csv:2 phone: must be given'],
    [
      'a contact of nobody',
      'contacts.csv',
      'gull-point',
      'gullpoint',
      'contacts.csv:2 precinct: found "gullpoint"; a code that stands in precincts.csv; did you mean “gull-point”?',
    ],
    [
      'a role that is too long',
      'contacts.csv',
      'precinct lead',
      'lead '.repeat(10),
      'contacts.csv:2 role: found "lead lead lead lead lead lead lead lead lead lead"; at most 40 characters',
    ],
  ])('%s', (_, file, from, to, ...says) => {
    expect(replaced(file, from, to)).toEqual(says)
  })
})

describe('steps.csv broken by', () => {
  all('steps.csv', [
    [
      'a step that waits for one that isn’t there',
      'compared,team',
      'compared,teams',
      'steps.csv:3 after: found "teams"; the code of a step in this file; did you mean “team”?',
    ],
    [
      'a step that waits for itself',
      'Packed,,',
      'Packed,pack,',
      'steps.csv:5 after: found "pack"; no circle: pack waits for pack',
    ],
    [
      'steps that wait for each other',
      'complete,,',
      'complete,seals,',
      'steps.csv:2 after: found "seals"; no circle: team waits for seals waits for team',
    ],
    [
      'a step that waits for one of the other phase',
      'Packed,,',
      'Packed,tape,',
      'steps.csv:5 after: found "tape"; a step of the same phase (closing)',
    ],
    [
      'one in ten faster than half of them',
      ',10,18,',
      ',10,8,',
      'steps.csv:2 p90Minutes: found "8"; at least medianMinutes (10)',
    ],
    ['a duration of nothing', ',10,18,', ',0,18,', 'steps.csv:2 medianMinutes: found "0"; more than 0'],
    ['neither yes nor no', ',13,yes', ',13,true', 'steps.csv:3 byTwo: found "true"; yes or no'],
    [
      'a way of completing that there isn’t',
      'no,step',
      'no,photo',
      'steps.csv:5 completedBy: found "photo"; one of step, team, seals, tape',
    ],
    [
      'a phase that there isn’t',
      'pack,closing',
      'pack,evening',
      'steps.csv:5 phase: found "evening"; one of opening, closing',
    ],
  ])
})

describe('profile.csv broken by', () => {
  all('profile.csv', [
    [
      'a time of twelve hours',
      '06:30,13:00',
      '6:30 AM,13:00',
      'profile.csv:2 from: found "6:30 AM"; a time of 24 hours as HH:MM: 7:30 pm is 19:30',
    ],
    [
      'a time that no clock shows',
      '06:30,13:00',
      '06:75,13:00',
      'profile.csv:2 from: found "06:75"; a time as HH:MM, such as 06:30',
    ],
    [
      'intervals that overlap',
      '13:00,19:30',
      '12:00,19:30',
      'profile.csv:3 from: found "12:00"; not before 13:00, where line 2 ends: the intervals overlap',
    ],
    [
      'an interval that runs backwards',
      '13:00,19:30',
      '19:30,13:00',
      'profile.csv:3 to: found "13:00"; a time after from (19:30)',
    ],
    [
      'arrivals before the polls open',
      '06:30,13:00',
      '05:00,13:00',
      'profile.csv:2 from: found "05:00"; not before the polls open (06:30)',
    ],
    [
      'arrivals after they close',
      '13:00,19:30',
      '13:00,21:00',
      'profile.csv:3 to: found "21:00"; not after the polls close (19:30)',
    ],
    [
      'shares that sum to less than 1',
      '0.45',
      '0.25',
      'profile.csv:1 share: found "0.8000"; shares that sum to 1 (within 0.005)',
    ],
    [
      'percent',
      '0.45',
      '45%',
      'profile.csv:3 share: found "45%"; a share of 1 without the percent sign: 0.45',
    ],
    [
      'nothing under the header',
      '\n06:30,13:00,0.55\n13:00,19:30,0.45',
      '',
      'profile.csv:1: at least one row under the header',
    ],
  ])
})

describe('plan.json broken by', () => {
  all('plan.json', [
    [
      'a comma too few',
      '"Ellery County",',
      '"Ellery County"',
      'plan.json:4 character 3: found ""name""; JSON: a comma or } before this',
    ],
    [
      'a comma too many',
      '"555-0199"\n',
      '"555-0199",\n',
      'plan.json:15 character 1: found "}"; JSON: a name in quotation marks "…", or take away the comma before',
    ],
    [
      'a quotation mark too few',
      '"Practice"',
      '"Practice',
      'plan.json:4 character 11: found ""Practice,"; JSON: a closing quotation mark in the same line; a backslash in the text is written twice',
    ],
    [
      'curved quotation marks',
      '"Practice"',
      '“Practice”',
      'plan.json:4 character 11: found "“Practice”"; JSON: straight quotation marks ("…"), not curved ones',
    ],
    [
      'a comment',
      '"format": 1,',
      '"format": 1, // the first',
      'plan.json:2 character 16: found "//"; JSON: no comment: JSON has none',
    ],
    [
      'a leading zero',
      '"format": 1',
      '"format": 01',
      'plan.json:2 character 13: found "01"; JSON: text in quotation marks, a number (with a point, no leading zero), true, false, { or [',
    ],
    [
      'a brace too few',
      '\n}',
      '',
      'plan.json:14 character 28: JSON: a comma or } before this: the file ends too soon',
    ],
    [
      'a field that stands twice',
      '"format": 1,',
      '"format": 1, "format": 1,',
      'plan.json:2 character 16: found "format"; JSON: a name that stands once: take one of the two away',
    ],
    [
      'a number in quotation marks',
      '"format": 1',
      '"format": "1"',
      'plan.json:2 format: found "1"; must be 1, without quotation marks',
    ],
    ['a field that is missing', '  "county": "Ellery County",\n', '', 'plan.json:1 county: must be given'],
    [
      'a misspelt field',
      '"county"',
      '"County"',
      'plan.json:1 county: must be given',
      'plan.json:3 County: found "Ellery County"; unknown field; did you mean “county”?',
    ],
    [
      'a date that there isn’t',
      '2026-11-03',
      '2026-02-30',
      'plan.json:6 date: found "2026-02-30"; a date that there is, as YYYY-MM-DD',
    ],
    [
      'a date of another order',
      '2026-11-03',
      '11/03/2026',
      'plan.json:6 date: found "11/03/2026"; a date that there is, as YYYY-MM-DD',
    ],
    [
      'a zone that there isn’t',
      'America/New_York',
      'America/Ellery',
      'plan.json:7 timeZone: found "America/Ellery"; a time zone of the IANA database, such as America/New_York',
    ],
    [
      'a short name of a zone',
      'America/New_York',
      'Eastern',
      'plan.json:7 timeZone: found "Eastern"; a time zone of the IANA database, such as America/New_York',
    ],
    [
      'an hour without its zero',
      '"06:30"',
      '"6:30"',
      'plan.json:10 hours.open: found "6:30"; a time as HH:MM, such as 06:30',
    ],
    [
      'polls that open before people report',
      '"05:15"',
      '"07:15"',
      'plan.json:10 hours.open: found "06:30"; a time later on the same day than report (07:15)',
    ],
    [
      'polls that are open for a day',
      '"19:30"',
      '"05:00"',
      'plan.json:11 hours.close: found "05:00"; a time later than open (06:30), at most 20 hours; up to 06:00 may be of the next day',
    ],
    [
      'a return before the polls close',
      '"22:30"',
      '"19:00"',
      'plan.json:12 hours.returnBy: found "19:00"; a time later than close (19:30); up to 06:00 may be of the next day',
    ],
    [
      'a kind that there isn’t',
      '"practice"',
      '"rehearsal"',
      'plan.json:5 kind: found "rehearsal"; one of election, practice',
    ],
    [
      'a threshold that there isn’t',
      '"officePhone"',
      '"policy": { "longLineMinuts": 20 },\n  "officePhone"',
      'plan.json:14 policy.longLineMinuts: found "20"; unknown field; did you mean “longLineMinutes”?',
    ],
    [
      'a threshold out of range',
      '"officePhone"',
      '"policy": {\n    "heartbeat": { "periodSeconds": 1 }\n  },\n  "officePhone"',
      'plan.json:15 policy.heartbeat.periodSeconds: found "1"; at least 5',
    ],
    [
      'thresholds that contradict each other',
      '"officePhone"',
      '"policy": { "longLineMinutes": 20,\n    "longLineEndMinutes": 25 },\n  "officePhone"',
      'plan.json:15 policy.longLineEndMinutes: found "25"; at most longLineMinutes (20)',
    ],
    [
      'a tier that there isn’t',
      '"officePhone"',
      '"policy": { "rules": {\n    "silent": { "tier": "urgent" } } },\n  "officePhone"',
      'plan.json:15 policy.rules.silent.tier: found "urgent"; one of stop, now, soon, watch',
    ],
    [
      'a reason that there isn’t',
      '"officePhone"',
      '"policy": { "rules": {\n    "long-lines": {} } },\n  "officePhone"',
      'plan.json:15 policy.rules.long-lines: found "{}"; unknown field; did you mean “long-line”?',
    ],
    [
      'a list where an object is wanted',
      '"officePhone"',
      '"policy": [],\n  "officePhone"',
      'plan.json:14 policy: found "[]"; an object in braces { }',
    ],
  ])
})

it('of many faults in many files each is named, in the order of files and lines', () => {
  const found = read({
    'plan.json': goodTexts['plan.json']!.replace('"05:15"', '"5:15"').replace('"practice"', '"dry run"'),
    'precincts.csv': goodTexts['precincts.csv']!.replace('1000,600', '"1,000",600').replace(
      ',grange',
      ',barn',
    ),
    'places.csv': goodTexts['places.csv']!.replace('latitude', 'lattitude'),
    'equipment.csv': goodTexts['equipment.csv']!.replace('T2', 't1'),
    'seals.csv': goodTexts['seals.csv']!.replace('E2', 'E1'),
    'rovers.csv': null,
    'contacts.csv': goodTexts['contacts.csv']!.replace('555-0101', ''),
    'steps.csv': goodTexts['steps.csv']!.replace(',8,13,', ',8,6,'),
    'profile.csv': goodTexts['profile.csv']!.replace('0.45', '45%'),
    'notes.txt': 'call Ana',
  })
  expect(found).toEqual({
    faults: [
      'plan.json:5 kind: found "dry run"; one of election, practice',
      'plan.json:9 hours.report: found "5:15"; a time as HH:MM, such as 06:30',
      'precincts.csv:2 registered: found "1,000"; a whole number without separators: 1000',
      'precincts.csv:3 place: found "barn"; a code that stands in places.csv',
      'places.csv:1 lattitude: found "lattitude"; unknown column; known are code, name, address, latitude, longitude, phone, area, line; did you mean “latitude”?',
      'places.csv:1 latitude: the column is missing; add it to the header',
      'equipment.csv:3 tag: found "t1"; differs only in case from “T1” in line 2; give it a name of its own',
      'seals.csv:3 number: found "E1"; stands already in line 2; once is enough',
      'rovers.csv: the file is missing',
      'contacts.csv:2 phone: must be given',
      'steps.csv:3 p90Minutes: found "6"; at least medianMinutes (8)',
      'profile.csv:3 share: found "45%"; a share of 1 without the percent sign: 0.45',
      'notes.txt: no file of a plan; known are plan.json, precincts.csv, places.csv, equipment.csv, seals.csv, rovers.csv, contacts.csv, steps.csv, profile.csv, styles.csv, cards.csv',
    ],
  })
})
