import { describe, expect, it } from 'vitest'
import { withTable } from './checkSupport.ts'

describe('what a row names must be there', () => {
  it.each([
    [
      'precincts',
      ',boathouse',
      ',lighthouse',
      'precincts.csv:2 place: found "lighthouse"; a code that stands in places.csv',
    ],
    [
      'seals',
      'gull-point,',
      'gull,',
      'seals.csv:2 precinct: found "gull"; a code that stands in precincts.csv; did you mean “gull-point”?',
    ],
    [
      'contacts',
      'gull-point,',
      'gull,',
      'contacts.csv:2 precinct: found "gull"; a code that stands in precincts.csv; did you mean “gull-point”?',
    ],
    ['rovers', 'grange', 'barn', 'rovers.csv:2 base: found "barn"; a code that stands in places.csv'],
    [
      'steps',
      'Seals compared,team',
      'Seals compared,crew',
      'steps.csv:3 after: found "crew"; the code of a step in this file',
    ],
  ] as const)('in %s', (table, from, to, fault) => {
    expect(withTable(table, t => t.replace(from, to))).toEqual([fault])
  })

  it('a row with another fault is still known by its code', () => {
    expect(withTable('places', t => t.replace('41.5', 'north'))).toEqual([
      'places.csv:2 latitude: found "north"; a number, such as 12 or 0.5',
    ])
  })

  it('a precinct has at least one tabulator', () => {
    expect(
      withTable('equipment', t => t.replace('T2,north-light,tabulator', 'T2,north-light,pollbook')),
    ).toEqual([
      'precincts.csv:3 code: found "north-light"; at least one tabulator for this precinct in equipment.csv, or counted: centrally',
    ])
  })
})

describe('what stands twice is named with the line of the first', () => {
  it.each([
    [
      'precincts',
      'north-light,N',
      'gull-point,N',
      'precincts.csv:3 code: found "gull-point"; stands already in line 2; once is enough',
    ],
    [
      'places',
      'grange,N',
      'boathouse,N',
      'places.csv:3 code: found "boathouse"; stands already in line 2; once is enough',
    ],
    ['equipment', 'T2', 'T1', 'equipment.csv:3 tag: found "T1"; stands already in line 2; once is enough'],
    ['seals', 'E2', 'E1', 'seals.csv:3 number: found "E1"; stands already in line 2; once is enough'],
    [
      'seals',
      'north-light',
      'gull-point',
      'seals.csv:3 container: found "gull-point ballot-box"; stands already in line 2; once is enough',
    ],
    [
      'steps',
      'seals,opening',
      'team,opening',
      'steps.csv:3 code: found "team"; stands already in line 2; once is enough',
    ],
  ] as const)('in %s', (table, from, to, fault) => {
    expect(withTable(table, t => t.replace(from, to))).toContain(fault)
  })
})

describe('steps', () => {
  it('may not wait for each other in a circle, and the circle is drawn once', () => {
    expect(
      withTable('steps', t =>
        t.replace('Team complete,,', 'Team complete,tape,').replace('seals;team', 'seals'),
      ),
    ).toEqual([
      'steps.csv:2 after: found "tape"; no circle: team waits for tape waits for seals waits for team',
    ])
    expect(withTable('steps', t => t.replace('Packed,,', 'Packed,pack,'))).toEqual([
      'steps.csv:5 after: found "pack"; no circle: pack waits for pack',
    ])
  })

  it('wait only for steps of their own phase', () => {
    expect(withTable('steps', t => t.replace('Packed,,', 'Packed,tape,'))).toEqual([
      'steps.csv:5 after: found "tape"; a step of the same phase (closing)',
    ])
  })

  it('one in ten is not faster than half of them', () => {
    expect(withTable('steps', t => t.replace('10,18', '10,9'))).toEqual([
      'steps.csv:2 p90Minutes: found "9"; at least medianMinutes (10)',
    ])
  })
})

describe('the arrival profile', () => {
  it('sums to 1, within rounding', () => {
    expect(withTable('profile', t => t.replace('0.45', '0.454'))).toEqual([])
    expect(withTable('profile', t => t.replace('0.45', '0.40'))).toEqual([
      'profile.csv:1 share: found "0.9500"; shares that sum to 1 (within 0.005)',
    ])
  })

  it('has no overlaps, whatever the order of its rows', () => {
    expect(withTable('profile', () => 'from,to,share\n12:00,19:30,0.5\n06:30,12:30,0.5')).toEqual([
      'profile.csv:2 from: found "12:00"; not before 12:30, where line 3 ends: the intervals overlap',
    ])
  })

  it('runs forwards and within the legal hours', () => {
    expect(
      withTable('profile', () => 'from,to,share\n06:00,12:00,0.5\n12:00,20:00,0.4\n14:00,13:00,0.1'),
    ).toEqual([
      'profile.csv:2 from: found "06:00"; not before the polls open (06:30)',
      'profile.csv:3 to: found "20:00"; not after the polls close (19:30)',
      'profile.csv:4 to: found "13:00"; a time after from (14:00)',
    ])
  })
})
