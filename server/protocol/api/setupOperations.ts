import type { z } from 'zod'
import {
  askCodes,
  backups,
  closeDay,
  done,
  freshCodes,
  openDay,
  planReport,
  planUpload,
  practiseDay,
  refusedReports,
  revokeDevice,
  setSpeed,
  setupDays,
  setupPlan,
  switchFault,
} from '../setup.ts'
import type { Example, Operation } from './operation.ts'

const who = ['admin'] as const
const noDay = { 404: 'there is no such day' }
const notNow = { ...noDay, 409: 'the day is not where this could be done: the problem says where it is' }

const get = (id: string, path: string, title: string, answer: z.ZodType, example: Example): Operation => ({
  method: 'GET',
  pattern: `/api/v1/setup/${path}`,
  id,
  title,
  group: 'setup',
  who,
  answer,
  ...(path.includes(':day') ? { more: noDay } : {}),
  example,
})
const post = (
  id: string,
  path: string,
  title: string,
  body: z.ZodType,
  answer: z.ZodType,
  example: Example,
): Operation => ({
  method: 'POST',
  pattern: `/api/v1/setup/${path}`,
  id,
  title,
  group: 'setup',
  who,
  body,
  answer,
  ...(path.includes(':day') ? { more: notNow } : {}),
  example,
})
const ok = { ok: true }

/** What an administrator's pages ask about days, plans and devices. */
export const setupOperations: readonly Operation[] = [
  get('setupDays', 'days', 'Every day that is kept, and where it is', setupDays, {
    answer: {
      days: [
        {
          id: 'ellery-county-2026-11-03-practice',
          county: 'Ellery County',
          name: 'General election practice',
          kind: 'practice',
          date: '2026-11-03',
          timeZone: 'America/New_York',
          planHash: '9f2c4f0e5b7d8a6c1e3f5a7b9c0d2e4f6a8b0c1d3e5f7a9b1c2d4e6f8a0b1c2d',
          precincts: 64,
          devices: 64,
          is: 'running',
          clock: { now: '2026-11-03T14:05:00.000Z', speed: 30 },
          simulated: true,
          morningUntil: null,
          trouble: null,
          openedAt: '2026-10-20T09:00:00.000Z',
          closedAt: null,
        },
      ],
    },
  }),
  {
    ...post(
      'checkPlan',
      'plans',
      'Checks a plan, and keeps it if that is asked for',
      planUpload,
      planReport,
      {
        body: { files: [{ name: 'plan.json', base64: 'e30=' }], keep: false },
        answer: {
          ok: false,
          faults: [
            { file: 'precincts.csv', line: 14, column: 'name', found: '', message: 'at least 1 character' },
          ],
        },
      },
    ),
    words:
      'Every fault at once, each with what would do. The bytes of the files in base64, or one zip of them.',
  },
  get('setupPlan', 'days/:day/plan', 'Precincts, places, equipment and the policy of a day', setupPlan, {
    path: { day: '$DAY' },
    answer: {
      day: 'ellery-county-2026-11-03-practice',
      hash: '9f2c4f0e5b7d8a6c1e3f5a7b9c0d2e4f6a8b0c1d3e5f7a9b1c2d4e6f8a0b1c2d',
      hours: { report: '05:15', open: '06:30', close: '19:30', returnBy: '22:30' },
      officePhone: '555-0199',
      places: [],
      precincts: [],
      rovers: 6,
      seals: 326,
      steps: [],
      thresholds: [{ path: 'longLineMinutes', value: 30, standard: 30 }],
      rules: [],
    },
  }),
  get('refusedReports', 'days/:day/refused', 'What devices sent and the log did not take', refusedReports, {
    path: { day: '$DAY' },
    answer: { refused: [] },
  }),
  post('codes', 'days/:day/codes', 'Fresh enrolment codes, each shown once', askCodes, freshCodes, {
    path: { day: '$DAY' },
    body: { precincts: ['$PRECINCT'] },
    answer: {
      codes: [
        { precinct: 'gull-point', name: 'Gull Point', place: 'Gull Point Boathouse', code: 'ABCDE-FGHJK' },
      ],
    },
  }),
  post(
    'revoke',
    'days/:day/revoke',
    'Takes a device’s key back, of a day that doesn’t run',
    revokeDevice,
    done,
    {
      path: { day: '$ELECTION' },
      body: { device: 'device-4kQ' },
      // The example's day has no such device.
      status: 409,
      answer: { ok: false, problems: [{ path: 'device', message: 'there is no such device on this day' }] },
    },
  ),
  post('openDay', 'days/:day/open', 'An election’s day runs from now on, by the real clock', openDay, done, {
    path: { day: '$ELECTION' },
    body: {},
    answer: ok,
  }),
  post('practise', 'days/:day/practise', 'A practice day begins, or goes on', practiseDay, done, {
    path: { day: '$PRACTICE' },
    body: { speed: 10, simulated: false, seed: 1 },
    answer: ok,
  }),
  post('setSpeed', 'days/:day/speed', 'How fast a practice day runs; 0 stands still', setSpeed, done, {
    path: { day: '$PRACTICE' },
    body: { speed: 0 },
    answer: ok,
  }),
  post('fault', 'days/:day/fault', 'Something happens at a precinct of a simulated day', switchFault, done, {
    path: { day: '$PRACTICE' },
    body: { precinct: '$PRECINCT', what: 'tabulator-down' },
    // The example's day has no simulated tablets.
    status: 409,
    answer: {
      ok: false,
      problems: [{ path: 'what', message: 'no simulated tablets speak on this day' }],
    },
  }),
  post('closeDay', 'days/:day/close', 'Closes a day for good; `confirm` repeats its id', closeDay, done, {
    path: { day: '$PRACTICE' },
    body: { confirm: '$PRACTICE' },
    answer: ok,
  }),
  get('backups', 'backups', 'How the automatic backups stand', backups, {
    answer: {
      on: true,
      folder: '.sunup/backups',
      everyMinutes: 5,
      last: { file: 'sunup-2026-11-03T14-05-00Z.backup', bytes: 259000, madeAt: '2026-11-03T14:05:00.000Z' },
      unchangedAt: null,
      problem: null,
    },
  }),
]
