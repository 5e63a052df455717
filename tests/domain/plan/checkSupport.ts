import { checkPlan, type PlanFiles } from '../../../server/domain/plan/check.ts'
import { faultLine } from '../../../server/domain/plan/checkFault.ts'
import type { CsvLine, TableName } from '../../../server/domain/plan/csv.ts'

/** A small plan folder that is good, as texts; a test changes one thing in it. */
export const goodJson = {
  format: 1,
  county: 'Ellery County',
  name: 'Practice',
  kind: 'practice',
  date: '2026-11-03',
  timeZone: 'America/New_York',
  hours: { report: '05:15', open: '06:30', close: '19:30', returnBy: '22:30' },
  officePhone: '555-0199',
} as Record<string, unknown>

type UsualTable = Exclude<TableName, 'styles' | 'cards'>

export const goodTables: Record<UsualTable, string> = {
  precincts: `code,name,place,registered,expected,ballots,stations,booths,workers
gull-point,Gull Point,boathouse,1000,600,800,2,8,5
north-light,North Light,grange,1400,900,1000,3,12,6`,
  places: `code,name,address,latitude,longitude,phone,area
boathouse,Gull Point Boathouse,1 Gull Point Road,41.5,-68.5,,North Shore
grange,North Light Grange,,41.6,-68.4,555-0180,North Shore`,
  equipment: `tag,precinct,kind,label
T1,gull-point,tabulator,Tabulator
T2,north-light,tabulator,Tabulator`,
  seals: `precinct,container,number
gull-point,ballot-box,E1
north-light,ballot-box,E2`,
  rovers: `code,name,phone,base,skills
ana,Ana,555-0170,grange,tabulator;pollbook`,
  contacts: `precinct,role,name,phone
gull-point,precinct lead,Bram Hawes,555-0101`,
  steps: `code,phase,title,after,medianMinutes,p90Minutes,byTwo,completedBy
team,opening,Team complete,,10,18,no,team
seals,opening,Seals compared,team,8,13,yes,seals
tape,opening,Tape verified,seals;team,7,12,yes,tape
pack,closing,Packed,,15,25,no,step`,
  profile: `from,to,share
06:30,13:00,0.55
13:00,19:30,0.45`,
}

/** The one table that a usual plan does without; given among the changes where a test is about it. */
export const goodStyles = `precinct,style,name,share,ballots
gull-point,A,Ballot A,0.7,560
gull-point,B,Ballot B,0.3,240
north-light,A,Ballot A,1,1000`

function linesOf(text: string): CsvLine[] {
  return text.split('\n').map((line, i) => ({ line: i + 1, cells: line.split(',') }))
}

export function folder(
  json: Record<string, unknown> | string | null = goodJson,
  changed: Partial<Record<TableName, string | null>> = {},
): PlanFiles {
  const all = { ...goodTables, ...changed }
  return {
    json: typeof json === 'string' || json === null ? json : JSON.stringify(json),
    tables: Object.fromEntries(
      Object.entries(all).flatMap(([name, text]) => (text === null ? [] : [[name, linesOf(text)]])),
    ),
    unread: [],
  }
}

/** Faults of a folder as lines; empty where it is good. */
export function faultsOf(files: PlanFiles): string[] {
  const checked = checkPlan(files)
  return 'faults' in checked ? checked.faults.map(faultLine) : []
}

export function withTable(name: UsualTable, edit: (text: string) => string): string[] {
  const text = edit(goodTables[name])
  if (text === goodTables[name]) throw new Error('the edit changed nothing')
  return faultsOf(folder(goodJson, { [name]: text }))
}

export const withJson = (changes: Record<string, unknown>): string[] =>
  faultsOf(folder({ ...goodJson, ...changes }))
