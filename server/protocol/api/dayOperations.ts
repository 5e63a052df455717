import { z } from 'zod'
import {
  boardAnswer,
  callsAnswer,
  daysAnswer,
  devicesAnswer,
  logAnswer,
  phonesAnswer,
  precinctAnswer,
} from '../answers.ts'
import { commandAnswer, commandRequest } from '../command.ts'
import { errandsAnswer } from '../errands.ts'
import { untilQuery } from '../review.ts'
import { pageRoles, roles } from '../roles.ts'
import type { Operation } from './operation.ts'

const DAY = { day: '$DAY' }
const notThere = { 404: 'there is no such running day' }
const sampleHash = '9f2c4f0e5b7d8a6c1e3f5a7b9c0d2e4f6a8b0c1d3e5f7a9b1c2d4e6f8a0b1c2d'
const sampleEntry = {
  position: 812,
  kind: 'EquipmentWentDown',
  version: 1,
  precinct: 'gull-point',
  source: 'device:d_7Q2mX4',
  number: 14,
  occurredAt: '2026-11-03T14:00:12.000Z',
  recordedAt: '2026-11-03T14:00:13.000Z',
  origin: { via: 'device' },
  body: { equipment: 'T-101' },
  hash: sampleHash,
}

/** What people's pages and programs ask of a running day, and what they may command. */
export const dayOperations: readonly Operation[] = [
  {
    method: 'GET',
    pattern: '/api/v1/days',
    id: 'days',
    title: 'The days of this server',
    group: 'days',
    who: roles,
    answer: daysAnswer,
    example: {
      answer: {
        days: [
          {
            id: 'ellery-county-2026-11-03-practice',
            county: 'Ellery County',
            name: 'General election practice',
            kind: 'practice',
            date: '2026-11-03',
            running: true,
          },
        ],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/board',
    id: 'board',
    title: 'Every precinct as the office knows it',
    words:
      'The fold of the log up to `cursor`. Each figure carries when it was so. For the role `receiving` seals’ numbers are left out of the reasons’ evidence.',
    group: 'days',
    who: roles,
    answer: boardAnswer,
    more: notThere,
    example: {
      path: DAY,
      answer: {
        cursor: 812,
        head: { position: 812, hash: sampleHash },
        now: '2026-11-03T14:05:00.000Z',
        speed: 30,
        precincts: [],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/calls',
    id: 'calls',
    title: 'Whom to call next, and why',
    words: 'Ranked: tiers first, then voter-minutes at risk.',
    group: 'days',
    who: pageRoles['/desk'],
    answer: callsAnswer,
    more: notThere,
    example: {
      path: DAY,
      answer: {
        calls: [
          {
            precinct: 'gull-point',
            precincts: ['gull-point'],
            tier: 'now',
            voterMinutes: 340,
            since: '2026-11-03T14:00:12.000Z',
            reasons: [
              {
                rule: 'tabulator-down',
                tier: 'now',
                since: '2026-11-03T14:00:12.000Z',
                raisedAt: '2026-11-03T14:01:12.000Z',
                text: 'The tabulator has been down since 9:00. The emergency slot is open.',
                ask: 'What does its display say, word for word?',
                ends: 'It ends when the tabulator works again or is replaced.',
                voterMinutes: 340,
                evidence: { tabulator: 'T-101', slotOpen: true },
              },
            ],
            takenBy: null,
            backUntil: null,
            steppedBack: false,
          },
        ],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/log',
    id: 'log',
    title: 'The day log, page by page',
    words:
      'Entries after a position, ascending. hash(n) = SHA-256(hash(n − 1) + line break + text(n)); words that can be erased come only to roles that make calls. For the role `receiving` seals’ numbers, expected and found, are left out of bodies: its clerks type those that they find. So nobody can recompute the chain from what that role is given.',
    group: 'days',
    who: roles,
    query: z.object({
      after: z.coerce.number().int().min(0).default(0).describe('position'),
      limit: z.coerce.number().int().min(1).max(1_000).default(200),
    }),
    answer: logAnswer,
    more: notThere,
    example: {
      path: DAY,
      query: { after: '0', limit: '5' },
      answer: { entries: [sampleEntry], head: { position: 812, hash: sampleHash } },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/precincts/:code',
    id: 'precinct',
    title: 'One precinct: place, contacts, latest entries',
    words:
      'With `until`: the entries up to an instant, as known or as happened, also of a day that isn’t run.',
    group: 'days',
    who: pageRoles['/desk'],
    query: untilQuery,
    answer: precinctAnswer,
    more: { 404: 'there is no such running day, or no such precinct in its plan' },
    example: {
      path: { ...DAY, code: '$PRECINCT' },
      answer: {
        code: 'gull-point',
        place: { name: 'Gull Point School', address: '12 Shore Road', phone: '555-0134' },
        contacts: [{ role: 'precinct lead', name: 'an invented name', phone: '555-0135' }],
        entries: [sampleEntry],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/phones',
    id: 'phones',
    title: 'Whom to ring, of every precinct',
    group: 'days',
    who: ['desk', 'supervisor'],
    answer: phonesAnswer,
    more: notThere,
    example: {
      path: DAY,
      answer: {
        phones: {
          'gull-point': [{ role: 'precinct lead', name: 'an invented name', phone: '555-0135' }],
        },
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/errands',
    id: 'errands',
    title: 'Rovers’ errands, with what goes along with them',
    words:
      'A rover gets their own, desk and supervisor get all: open ones first, then the latest that ended, 60 at most.',
    group: 'days',
    who: ['rover', 'desk', 'supervisor'],
    answer: errandsAnswer,
    more: notThere,
    example: {
      path: DAY,
      answer: {
        officePhone: '555-0199',
        errands: [
          {
            id: '7b1f0a4c-3c0e-4a53-9d53-2f8d1a6f0f11',
            rover: 'ana',
            precinct: 'gull-point',
            is: 'on-the-way',
            assignedAt: '2026-11-03T14:02:00.000Z',
            acceptedAt: '2026-11-03T14:03:00.000Z',
            onTheWayAt: '2026-11-03T14:04:30.000Z',
            onSiteAt: null,
            endedAt: null,
            place: {
              code: 'gull-point-school',
              name: 'Gull Point School',
              address: '12 Shore Road',
              latitude: 41.4,
              longitude: -70.45,
            },
            precincts: [{ code: 'gull-point', name: 'Gull Point' }],
            what: 'Bring the spare tabulator.',
          },
        ],
      },
    },
  },
  {
    method: 'GET',
    pattern: '/api/v1/days/:day/devices',
    id: 'devices',
    title: 'Enrolled devices, and what was refused',
    words: 'With `precinct`: the devices of that precinct alone.',
    group: 'days',
    who: ['desk', 'supervisor', 'admin'],
    query: z.object({ precinct: z.string().max(40).optional() }),
    answer: devicesAnswer,
    more: notThere,
    example: {
      path: DAY,
      answer: {
        devices: [
          {
            id: 'd_7Q2mX4',
            day: 'ellery-county-2026-11-03-practice',
            precinct: 'gull-point',
            label: 'tablet 12',
            enrolledAt: 1793700000000,
            revokedAt: null,
            replacedAt: null,
          },
        ],
        refused: [],
      },
    },
  },
  {
    method: 'POST',
    pattern: '/api/v1/days/:day/commands',
    id: 'command',
    title: 'What desk, rovers, supervisors and receiving stations decide',
    words:
      'Decided on the state at the head of the log: of two people who take one call exactly one gets it. `id` makes a retry harmless.',
    group: 'days',
    who: roles,
    body: commandRequest,
    answer: commandAnswer,
    more: {
      404: 'no such day, precinct, rover or errand',
      409: 'somebody else has it, or it is not where this would take it from',
      503: 'the log can’t be written just now; send it again with the same `id`',
    },
    example: {
      path: DAY,
      body: {
        id: '0f8fad5b-d9cb-469f-a165-70867728950e',
        kind: 'AddNote',
        body: { precinct: '$PRECINCT', note: 'The custodian has the key to the side door.' },
      },
      answer: { ok: true, position: 813 },
    },
  },
]
