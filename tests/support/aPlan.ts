import type { z } from 'zod'
import { type Plan, plan } from '../../server/domain/plan/plan.ts'

export type PlanInput = z.input<typeof plan>

/** The invented day that tests speak of: Eastern Standard Time, polls 6:30 to 19:30. */
export const DAY = 'ellery-2026-11-03'

/**
 * A small invented plan of three precincts, whole and valid; `changes` replace whole fields.
 *
 * - `E-01` Harbor Hall: one tabulator T-01, accessible station A-01, tablet D-01.
 * - `E-02` Mill School: two tabulators T-02 and T-12, accessible station A-02; the biggest.
 * - `E-03` Gull Island Chapel: one tabulator T-03, accessible station A-03; shares no place.
 *
 * Each has two sealed containers, `box` and `door`, with seals `S-01-box`, `S-01-door` and so on.
 * Opening: team → ballots, seals → box → tabulator → tape; roster after team. Closing: tape-closed → packed.
 */
export function aPlan(changes: Partial<PlanInput> = {}): Plan {
  return plan.parse({ ...threePrecincts(), ...changes })
}

/** The same plan with `howMany` precincts `W-001` …, each with tabulator `TW-001` … and the same steps. */
export function aWidePlan(howMany: number, changes: Partial<PlanInput> = {}): Plan {
  const base = threePrecincts()
  const codes = Array.from({ length: howMany }, (_, i) => String(i + 1).padStart(3, '0'))
  return plan.parse({
    ...base,
    places: codes.map((c, i) => ({
      code: `WP-${c}`,
      name: `Hall ${c}`,
      latitude: 41 + (i % 40) * 0.02,
      longitude: -70 - Math.floor(i / 40) * 0.02,
    })),
    precincts: codes.map(c => ({
      code: `W-${c}`,
      name: `Ward ${c}`,
      place: `WP-${c}`,
      registered: 2_000,
      expected: 1_000,
      ballots: 1_200,
      stations: 3,
      booths: 12,
      workers: 8,
    })),
    equipment: codes.flatMap(c => [
      { tag: `TW-${c}`, precinct: `W-${c}`, kind: 'tabulator' as const },
      { tag: `AW-${c}`, precinct: `W-${c}`, kind: 'accessible-station' as const },
    ]),
    seals: codes.map(c => ({ precinct: `W-${c}`, container: 'box', number: `S-${c}-box` })),
    contacts: codes.map(c => ({
      precinct: `W-${c}`,
      role: 'precinct lead',
      name: 'Lead',
      phone: '555-0100',
    })),
    ...changes,
  })
}

function threePrecincts(): PlanInput {
  return {
    format: 1,
    county: 'Ellery County',
    name: 'General election',
    kind: 'practice',
    date: '2026-11-03',
    timeZone: 'America/New_York',
    hours: { report: '05:30', open: '06:30', close: '19:30', returnBy: '22:00' },
    officePhone: '555-0199',
    policy: {},
    places: [
      {
        code: 'PL-01',
        name: 'Harbor Hall',
        address: '1 Quay',
        latitude: 41.5,
        longitude: -70.6,
        area: 'Coast',
      },
      {
        code: 'PL-02',
        name: 'Mill School',
        address: '20 Mill Rd',
        latitude: 41.62,
        longitude: -70.7,
        area: 'Inland',
      },
      { code: 'PL-03', name: 'Gull Island Chapel', latitude: 41.4, longitude: -70.45, area: 'Islands' },
    ],
    precincts: [
      precinct('E-01', 'Harbor', 'PL-01', 2_400, 1_000),
      { ...precinct('E-02', 'Mill', 'PL-02', 4_800, 2_000), stations: 6, booths: 24, workers: 12 },
      precinct('E-03', 'Gull Island', 'PL-03', 600, 300),
    ],
    equipment: [
      { tag: 'T-01', precinct: 'E-01', kind: 'tabulator' },
      { tag: 'A-01', precinct: 'E-01', kind: 'accessible-station' },
      { tag: 'D-01', precinct: 'E-01', kind: 'tablet' },
      { tag: 'T-02', precinct: 'E-02', kind: 'tabulator', label: 'left' },
      { tag: 'T-12', precinct: 'E-02', kind: 'tabulator', label: 'right' },
      { tag: 'A-02', precinct: 'E-02', kind: 'accessible-station' },
      { tag: 'T-03', precinct: 'E-03', kind: 'tabulator' },
      { tag: 'A-03', precinct: 'E-03', kind: 'accessible-station' },
    ],
    seals: ['01', '02', '03'].flatMap(n =>
      ['box', 'door'].map(container => ({ precinct: `E-${n}`, container, number: `S-${n}-${container}` })),
    ),
    rovers: [
      { code: 'R-1', name: 'Rover one', phone: '555-0121', base: 'PL-01', skills: ['tabulator'] },
      { code: 'R-2', name: 'Rover two', phone: '555-0122', base: 'PL-02', skills: ['supplies'] },
    ],
    contacts: [
      { precinct: 'E-01', role: 'precinct lead', name: 'Lead one', phone: '555-0101' },
      { precinct: 'E-02', role: 'precinct lead', name: 'Lead two', phone: '555-0102' },
      { precinct: 'E-03', role: 'precinct lead', name: 'Lead three', phone: '555-0103' },
    ],
    steps: [
      step('team', 'opening', 'Team here', [], 5, 15, { completedBy: 'team' }),
      step('ballots', 'opening', 'Ballots counted', ['team'], 8, 15, { byTwo: true }),
      step('seals', 'opening', 'Seals compared', ['team'], 5, 10, { completedBy: 'seals', byTwo: true }),
      step('box', 'opening', 'Box seen empty and locked', ['seals'], 4, 8, { byTwo: true }),
      step('tabulator', 'opening', 'Tabulator started', ['box'], 6, 12),
      step('tape', 'opening', 'Opening tape verified', ['tabulator'], 8, 20, { completedBy: 'tape' }),
      step('roster', 'opening', 'Roster ready', ['team'], 10, 20),
      step('tape-closed', 'closing', 'Closing tape signed', [], 15, 30, { byTwo: true }),
      step('packed', 'closing', 'Return packed', ['tape-closed'], 15, 30, { byTwo: true }),
    ],
    profile: [
      { from: '06:30', to: '08:30', share: 0.2 },
      { from: '08:30', to: '11:30', share: 0.2 },
      { from: '11:30', to: '13:30', share: 0.2 },
      { from: '13:30', to: '16:30', share: 0.2 },
      { from: '16:30', to: '19:30', share: 0.2 },
    ],
  }
}

function precinct(code: string, name: string, place: string, registered: number, expected: number) {
  return {
    code,
    name,
    place,
    registered,
    expected,
    ballots: Math.ceil(expected * 1.2),
    stations: 3,
    booths: 12,
    workers: 8,
  }
}

function step(
  code: string,
  phase: 'opening' | 'closing',
  title: string,
  after: string[],
  medianMinutes: number,
  p90Minutes: number,
  more: { byTwo?: boolean; completedBy?: 'step' | 'team' | 'seals' | 'tape' } = {},
) {
  return { code, phase, title, after, medianMinutes, p90Minutes, ...more }
}
