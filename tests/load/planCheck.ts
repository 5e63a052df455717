import { planHash, readPlanFiles } from '../../server/cli/planFiles.ts'
import { type Figure, figure } from './figure.ts'

const PRECINCTS = 5_000

/** A plan folder of 5,000 invented precincts as bytes: three pieces of equipment, four seals and a contact each. */
function folder(): Array<{ name: string; bytes: Uint8Array }> {
  const codes = Array.from({ length: PRECINCTS }, (_, i) => `ward-${String(i + 1).padStart(4, '0')}`)
  const table = (header: string, rows: string[]) => [header, ...rows].join('\r\n')
  const texts: Record<string, string> = {
    'plan.json': JSON.stringify({
      format: 1,
      county: 'Ellery County',
      name: 'Figure',
      kind: 'practice',
      date: '2026-11-03',
      timeZone: 'America/New_York',
      hours: { report: '05:15', open: '06:30', close: '19:30', returnBy: '22:30' },
      officePhone: '555-0199',
    }),
    'precincts.csv': table(
      'code,name,place,registered,expected,ballots,stations,booths,workers',
      codes.map((c, i) => `${c},Ward ${i + 1},hall-${i >> 1},2000,1000,1300,3,12,8`),
    ),
    'places.csv': table(
      'code,name,address,latitude,longitude,phone,area',
      codes
        .slice(0, PRECINCTS / 2)
        .map(
          (_, i) =>
            `hall-${i},"Hall ${i}, north",${i} Hall Road,${(41 + i / 10_000).toFixed(5)},-68.5,,North`,
        ),
    ),
    'equipment.csv': table(
      'tag,precinct,kind,label',
      codes.flatMap((c, i) => [
        `T${i},${c},tabulator,Tabulator`,
        `A${i},${c},accessible-station,Accessible station`,
        `B${i},${c},ballot-box,Ballot box`,
      ]),
    ),
    'seals.csv': table(
      'precinct,container,number,phase',
      codes.flatMap((c, i) =>
        ['door', 'box', 'slot', 'bag'].map((box, n) => `${c},${box},E${i}-${n},${n === 3 ? 'closing' : ''}`),
      ),
    ),
    'rovers.csv': table('code,name,phone,base,skills', ['ana,Ana,555-0170,hall-1,tabulator;pollbook']),
    'contacts.csv': table(
      'precinct,role,name,phone',
      codes.map(c => `${c},precinct lead,Bram Hawes,555-0101`),
    ),
    'steps.csv': table('code,phase,title,after,medianMinutes,p90Minutes,byTwo,completedBy', [
      'team,opening,Team complete,,10,18,no,team',
      'seals,opening,Seals compared,team,8,13,yes,seals',
      'tape,opening,Tape verified,seals,7,12,yes,tape',
      'pack,closing,Packed,,15,25,no,step',
    ]),
    'profile.csv': table('from,to,share', ['06:30,13:00,0.55', '13:00,19:30,0.45']),
  }
  return Object.entries(texts).map(([name, text]) => ({ name, bytes: new TextEncoder().encode(text) }))
}

/** Seconds to read, check and hash a plan of 5,000 precincts from its files' bytes; the limit is 10 s. */
export function planCheck(): Figure[] {
  const files = folder()
  const from = performance.now()
  const checked = readPlanFiles(files)
  if ('faults' in checked)
    throw new Error(`the plan of the figure is not good: ${JSON.stringify(checked.faults[0])}`)
  planHash(checked.plan)
  return [figure('planCheck', (performance.now() - from) / 1_000, 's for 5,000 precincts', 10)]
}
