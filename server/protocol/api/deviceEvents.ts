import {
  dayIsClosed,
  devicePlan,
  heard,
  heartbeatAnswer,
  heartbeatRequest,
  notice,
  reportAnswer,
  reportRequest,
} from '../device.ts'
import { deviceOperations } from './deviceOperations.ts'
import type { Exchange, SocketEvent } from './socketEvent.ts'

/** The device link, for whoever writes a program that speaks for a precinct. */
export const deviceWords = [
  'Devices join with `auth: {key}`; POST /api/v1/enrol makes a key of a code. A key that is no longer good is answered with `connect_error`, its `data.reason` is `key-refused`: stop. Any other failure: come again, after `data.retryAfter` milliseconds where it is there.',
  'Number reports 1, 2, 3 … and save each before it is sent. One request under way at a time, in the order of the numbers. After joining ask with an empty list: `upTo` is what the office has. Where that is less than it had, it was restored from a copy: send again from there. Keep each report until an answer that is ok deals with it, and some thousand after that. The library’s own retry stays off, since what is sent again has to be the same report.',
  'ok with `refused`: dealt with; mend it and say it under a new number. `next`: a gap; send from that number on. `retryAfter`: wait so many milliseconds, no number is consumed, and `upTo` says nothing. `problems`: the request was turned away; ask again seldom. No answer in ten seconds: ask with an empty list.',
  'A reference client is in the sources, `server/cli/device/connectDevice.ts`, with all these rules in `sending.ts` beside it; `sunup device` is the same as a command.',
].join('\n\n')

const polls = { number: 1, at: '2026-11-03T14:02:07Z', kind: 'PollsOpened', body: {} }
const sentAt = '2026-11-03T14:02:11Z'

const reportExchanges: readonly Exchange[] = [
  {
    name: 'again',
    title: 'The same report sent again changes nothing and is acknowledged again',
    message: { sentAt: '2026-11-03T14:02:21Z', reports: [polls] },
    answer: { ok: true, upTo: 1, refused: [] },
  },
  {
    name: 'howFar',
    title: 'An empty list asks how far the office is',
    message: { sentAt, reports: [] },
    answer: { ok: true, upTo: 1, refused: [] },
  },
  {
    name: 'refused',
    title: 'Dealt with, and refused: the number is used up, the office keeps the report aside',
    message: {
      sentAt,
      reports: [{ number: 2, at: sentAt, kind: 'LineReported', body: { inLine: -4 } }],
    },
    answer: {
      ok: true,
      upTo: 2,
      refused: [{ number: 2, problems: [{ path: 'body.inLine', message: 'at least 0' }] }],
    },
  },
  {
    name: 'gap',
    title: 'A gap: nothing is taken from there on, `next` is the number that is wanted',
    message: {
      sentAt,
      reports: [
        { number: 3, at: sentAt, kind: 'LineReported', body: { inLine: 4 } },
        { number: 5, at: sentAt, kind: 'LineReported', body: { inLine: 6 } },
      ],
    },
    answer: { ok: false, upTo: 3, next: 4 },
  },
  {
    name: 'wait',
    title: 'Above the rate, or the office is busy: wait, and send the same again',
    message: { sentAt, reports: [{ number: 4, at: sentAt, kind: 'LineReported', body: { inLine: 5 } }] },
    answer: { ok: false, upTo: 3, retryAfter: 400 },
    when: 'flooded',
  },
  {
    name: 'closed',
    title: 'The day is closed, or does not run now: what is said waits with the device',
    message: { sentAt, reports: [{ number: 4, at: sentAt, kind: 'LineReported', body: { inLine: 5 } }] },
    answer: {
      ok: false,
      upTo: 3,
      problems: [{ path: '', message: 'this day is closed: the office takes no more reports for it' }],
    },
    when: 'closed',
  },
]

const battery = { sentAt: '2026-11-03T14:02:30Z', device: { battery: 81, charging: false, waiting: 0 } }

const heartbeatExchanges: readonly Exchange[] = [
  {
    name: 'status',
    title: 'What is so, each part with the instant from which it is so, by the device’s clock',
    message: {
      sentAt: '2026-11-03T14:03:00Z',
      status: {
        polls: { is: 'open', asOf: '2026-11-03T14:02:07Z' },
        slot: { is: 'locked', asOf: '2026-11-03T13:20:00Z' },
        equipmentDown: { is: [], asOf: '2026-11-03T13:20:00Z' },
      },
      counts: { checkedIn: { is: 412, asOf: '2026-11-03T14:00:00Z' } },
      device: { battery: 81, charging: false, waiting: 0 },
    },
    answer: { ok: true, recordedAt: '2026-11-03T14:03:00Z', upTo: 3 },
  },
  {
    name: 'unreadable',
    title: 'A part that can’t be read: nothing of the heartbeat is taken',
    message: { sentAt, device: { battery: 181 } },
    answer: { ok: false, problems: [{ path: 'device.battery', message: 'at most 100' }] },
  },
  {
    name: 'wait',
    title: 'Too many: wait; a later heartbeat makes up for this one',
    message: battery,
    answer: { ok: false, retryAfter: 500 },
    when: 'flooded',
  },
]

export const deviceEvents: readonly SocketEvent[] = [
  {
    namespace: '/precinct',
    event: 'report',
    from: 'client',
    title: 'Facts, numbered; acknowledged when they are in the log',
    message: reportRequest,
    answer: reportAnswer,
    example: { sentAt, reports: [polls] },
    answerExample: { ok: true, upTo: 1, refused: [] },
    more: reportExchanges,
  },
  {
    namespace: '/precinct',
    event: 'heartbeat',
    from: 'client',
    title: 'What is so now',
    message: heartbeatRequest,
    answer: heartbeatAnswer,
    example: battery,
    answerExample: { ok: true, recordedAt: '2026-11-03T14:02:30Z', upTo: 3 },
    more: heartbeatExchanges,
  },
  {
    namespace: '/precinct',
    event: 'heard',
    from: 'server',
    title: 'The day’s time and how fast it runs, on joining and when that changes',
    message: heard,
    example: { recordedAt: '2026-11-03T14:02:30Z', speed: 1 },
  },
  {
    namespace: '/precinct',
    event: 'closed',
    from: 'server',
    title: 'This day takes no more reports; what still waits stays with the device',
    message: dayIsClosed,
    example: { day: 'ellery-county-2026-11-03' },
  },
  {
    namespace: '/precinct',
    event: 'plan',
    from: 'server',
    title: 'What this precinct needs of the plan and of what the office has',
    message: devicePlan,
    example: deviceOperations.find(o => o.id === 'devicePlan')?.example.answer,
  },
  {
    namespace: '/precinct',
    event: 'notice',
    from: 'server',
    title:
      'What the desk has to say to this precinct; the plan has the latest. Where it asks for it, say NoticeAcknowledged with its id',
    message: notice,
    example: { id: 812, at: '2026-11-03T13:40:00.000Z', text: 'Ferry runs an hour late.', acknowledge: true },
  },
]
