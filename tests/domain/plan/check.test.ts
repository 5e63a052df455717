import { describe, expect, it } from 'vitest'
import { checkPlan } from '../../../server/domain/plan/check.ts'
import { faultsOf, folder, goodJson, goodTables, withJson, withTable } from './checkSupport.ts'

describe('a plan folder that is good', () => {
  it('becomes the plan, with defaults of the policy and lists from their cells', () => {
    const checked = checkPlan(folder())
    if (!('plan' in checked)) throw new Error(faultsOf(folder()).join('\n'))
    const { plan } = checked
    expect(plan.precincts.map(p => p.code)).toEqual(['gull-point', 'north-light'])
    expect(plan.rovers[0]?.skills).toEqual(['tabulator', 'pollbook'])
    expect(plan.steps.map(s => s.after)).toEqual([[], ['team'], ['seals', 'team'], []])
    expect(plan.steps.map(s => s.byTwo)).toEqual([false, true, true, false])
    expect(plan.places.map(p => p.phone)).toEqual([undefined, '555-0180'])
    expect(plan.policy.heartbeat.silentAfterSeconds).toBe(300)
    expect(plan.officePhone).toBe('555-0199')
  })

  it('may do without contacts and without columns that have a default', () => {
    expect(faultsOf(folder(goodJson, { contacts: null }))).toEqual([])
    expect(withTable('equipment', t => t.replaceAll(',Tabulator', '').replace(',label', ''))).toEqual([])
  })

  it('may order its columns as it likes', () => {
    expect(withTable('profile', () => 'share,to,from\n0.55,13:00,06:30\n0.45,19:30,13:00')).toEqual([])
  })
})

describe('columns', () => {
  it('an unknown one is named, with those that are known', () => {
    expect(withTable('profile', t => t.replace('share', 'part'))).toEqual([
      'profile.csv:1 part: found "part"; unknown column; known are from, to, share',
      'profile.csv:1 share: the column is missing; add it to the header',
    ])
  })

  it('one that may be left out may also stand there: the phase of a seal', () => {
    const phases = (last: string) => (t: string) =>
      t
        .split('\n')
        .map((line, i) => `${line},${['phase', '', last][i]}`)
        .join('\n')
    expect(withTable('seals', phases('closing'))).toEqual([])
    expect(withTable('seals', phases('noon'))).toEqual([
      'seals.csv:3 phase: found "noon"; one of opening, closing',
    ])
  })

  it('one that stands twice is named', () => {
    expect(withTable('seals', t => t.replace(/$/gm, ',x').replace(',x', ',number'))).toContain(
      'seals.csv:1 number: found "number"; the column stands twice; take one of the two away',
    )
  })

  it('a row with too few or too many cells is named by its line', () => {
    expect(withTable('rovers', t => `${t}\nbo,Bo\ncy,Cy,555-0172,grange,,x`)).toEqual([
      'rovers.csv:3: found "bo,Bo"; 5 cells as in the header, not 2; a cell that holds the divider stands in quotation marks',
      'rovers.csv:4: found "cy,Cy,555-0172,grange,,x"; 5 cells as in the header, not 6; a cell that holds the divider stands in quotation marks',
    ])
  })

  it('a file without a header, and one with nothing under it, are faults where rows are needed', () => {
    expect(faultsOf({ ...folder(), tables: { ...folder().tables, rovers: [] } })).toEqual([
      'rovers.csv:1: a header row with the columns code, name, phone, base, skills',
    ])
    expect(withTable('profile', () => 'from,to,share')).toContain(
      'profile.csv:1: at least one row under the header',
    )
  })
})

describe('cells', () => {
  const cases: Array<[string, Parameters<typeof withTable>[0], string, string, string]> = [
    [
      'text for a number',
      'precincts',
      ',2,8,5',
      ',two,8,5',
      'precincts.csv:2 stations: found "two"; a whole number, such as 12',
    ],
    [
      'a fraction',
      'precincts',
      ',2,8,5',
      ',1.5,8,5',
      'precincts.csv:2 stations: found "1.5"; a whole number, such as 12',
    ],
    ['below the range', 'precincts', ',2,8,5', ',0,8,5', 'precincts.csv:2 stations: found "0"; at least 1'],
    ['above the range', 'places', '41.6', '91', 'places.csv:3 latitude: found "91"; at most 90'],
    ['not given', 'precincts', ',North Light,', ',,', 'precincts.csv:3 name: must be given'],
    [
      'an unknown word',
      'equipment',
      'T2,north-light,tabulator',
      'T2,north-light,printer',
      'equipment.csv:3 kind: found "printer"; one of tabulator, accessible-station, pollbook, ballot-box, tablet',
    ],
    [
      'a bad code',
      'rovers',
      'ana',
      'a na',
      'rovers.csv:2 code: found "a na"; letters, digits, dot, dash or underscore',
    ],
    ['neither yes nor no', 'steps', '13,yes', '13,maybe', 'steps.csv:3 byTwo: found "maybe"; yes or no'],
    [
      'no time',
      'profile',
      '06:30',
      '6.30',
      'profile.csv:2 from: found "6.30"; a time as HH:MM, such as 06:30',
    ],
    [
      'a duration of nothing',
      'steps',
      ',10,18',
      ',0,18',
      'steps.csv:2 medianMinutes: found "0"; more than 0',
    ],
  ]
  it.each(cases)('%s is found by file, line and column, with what would do', (_, table, from, to, fault) => {
    expect(withTable(table, t => t.replace(from, to))).toContain(fault)
  })
})

describe('plan.json', () => {
  it('a wrong, missing or unknown field is named by its path', () => {
    expect(withJson({ date: '3 November' })).toEqual([
      'plan.json:1 date: found "3 November"; a date that there is, as YYYY-MM-DD',
    ])
    expect(withJson({ officePhone: undefined })).toEqual(['plan.json:1 officePhone: must be given'])
    expect(withJson({ colour: 'blue' })).toEqual([
      expect.stringMatching(
        /^plan\.json:1 colour: found "blue"; unknown field: take it away; known are format, county, /,
      ),
    ])
    expect(withJson({ format: 2 })).toEqual(['plan.json:1 format: found "2"; must be 1'])
    expect(withJson({ policy: { heartbeat: { periodSeconds: 1 } } })).toEqual([
      'plan.json:1 policy.heartbeat.periodSeconds: found "1"; at least 5',
    ])
    expect(withJson({ policy: { rules: { silent: { tier: 'loud' } } } })).toEqual([
      'plan.json:1 policy.rules.silent.tier: found "loud"; one of stop, now, soon, watch',
    ])
  })

  it('a text that is no JSON is a fault, with line and character', () => {
    const [fault, ...more] = faultsOf(folder('{\n  "format": 1,\n  oops\n}'))
    expect(fault).toBe(
      'plan.json:3 character 3: found "oops"; JSON: a name in quotation marks "…", or take away the comma before',
    )
    expect(more).toEqual([])
  })

  it('a byte order mark before it is no fault', () => {
    expect(faultsOf(folder(`\uFEFF${JSON.stringify(goodJson)}`))).toEqual([])
  })

  it('the hours must be in order', () => {
    expect(
      withJson({ hours: { report: '06:45', open: '06:30', close: '19:30', returnBy: '19:00' } }),
    ).toEqual([
      'plan.json:1 hours.open: found "06:30"; a time later on the same day than report (06:45)',
      'plan.json:1 hours.returnBy: found "19:00"; a time later than close (19:30); up to 06:00 may be of the next day',
    ])
  })

  it('the time zone must be known', () => {
    expect(withJson({ timeZone: 'America/Ellery' })).toEqual([
      'plan.json:1 timeZone: found "America/Ellery"; a time zone of the IANA database, such as America/New_York',
    ])
  })

  it('thresholds must not contradict each other', () => {
    expect(
      withJson({
        policy: {
          heartbeat: { periodSeconds: 200, silentAfterSeconds: 100 },
          longLineMinutes: 15,
          behindOpeningMinutes: 3,
        },
      }),
    ).toEqual([
      'plan.json:1 policy.heartbeat.lateAfterSeconds: found "120"; more than periodSeconds (200); it is the standard value',
      'plan.json:1 policy.heartbeat.silentAfterSeconds: found "100"; more than lateAfterSeconds (120)',
      'plan.json:1 policy.behindOpeningEndMinutes: found "5"; at most behindOpeningMinutes (3); it is the standard value',
      'plan.json:1 policy.longLineEndMinutes: found "20"; at most longLineMinutes (15); it is the standard value',
    ])
  })
})

describe('all at once', () => {
  it('a value out of range hides no other fault of plan.json', () => {
    const faults = withJson({
      policy: {
        horizonMinutes: -1,
        heartbeat: { graceSeconds: -1, lateAfterSeconds: 20, silentAfterSeconds: 'soon' },
        lateOpeningChance: 0.2,
        longLineMinutes: 5_000,
        longLineEndMinutes: 40,
      },
      depot: 'depot',
      receiving: ['grange', 'grange', 'courthouse'],
    })
    expect(faults.map(f => f.replace(/^plan[.]json:1 /, '').replace(/; it is.*/, ''))).toEqual(
      expect.arrayContaining([
        'policy.horizonMinutes: found "-1"; at least 0',
        'policy.heartbeat.graceSeconds: found "-1"; at least 0',
        'policy.longLineMinutes: found "5000"; at most 1440',
        expect.stringMatching(/^policy[.]heartbeat[.]silentAfterSeconds: found "soon"/),
        'policy.heartbeat.lateAfterSeconds: found "20"; more than periodSeconds (30)',
        'policy.lateOpeningEndChance: found "0.3"; at most lateOpeningChance (0.2)',
        'depot: found "depot"; a code that stands in places.csv',
        'receiving.1: found "grange"; stands already in the list; once is enough',
        'receiving.2: found "courthouse"; a code that stands in places.csv',
      ]),
    )
    // What is itself at fault contradicts nothing.
    expect(faults).toHaveLength(9)
  })

  it('a list that is at fault itself is told once', () => {
    expect(withJson({ receiving: ['grange', 5], depot: 7, policy: [] })).toHaveLength(3)
  })

  it('faults of several files come together', () => {
    const faults = faultsOf(
      folder(
        { ...goodJson, timeZone: 'Nowhere' },
        {
          seals: goodTables.seals.replace('E1', ''),
          rovers: goodTables.rovers.replace('grange', 'depot'),
        },
      ),
    )
    expect(faults).toEqual([
      'plan.json:1 timeZone: found "Nowhere"; a time zone of the IANA database, such as America/New_York',
      'seals.csv:2 number: must be given',
      'rovers.csv:2 base: found "depot"; a code that stands in places.csv',
    ])
  })

  it('a file that could not be read makes no further faults', () => {
    const files = folder(goodJson, { places: null })
    expect(
      faultsOf({
        ...files,
        unread: [{ file: 'places.csv', line: null, column: null, found: '', message: 'missing' }],
      }),
    ).toEqual(['places.csv: missing'])
  })

  it('more than 200 faults of one file are counted', () => {
    const many = `from,to,share\n${'x,y,0.001\n'.repeat(190).trim()}`
    const faults = faultsOf(folder(goodJson, { profile: many }))
    expect(faults).toHaveLength(201)
    expect(faults.at(-1)).toBe('profile.csv: and 181 more faults')
  })
})
