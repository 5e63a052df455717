import type { z } from 'zod'
import { patch, subscribeAnswer } from '../answers.ts'
import { subscribeRequest } from '../board.ts'
import { commandAnswer, commandRequest } from '../command.ts'
import { WIRE } from '../device.ts'
import { deviceEvents, deviceWords } from './deviceEvents.ts'
import { caution, schemaOf } from './schemaOf.ts'
import type { SocketEvent } from './socketEvent.ts'

const patchExample = {
  log: 'ellery-county-2026-11-03-practice:9f2c4f0e5b7d8a6c',
  from: 812,
  to: 813,
  head: { position: 813, hash: '9f2c4f0e5b7d8a6c1e3f5a7b9c0d2e4f6a8b0c1d3e5f7a9b1c2d4e6f8a0b1c2d' },
  now: 1793714700000,
  speed: 1,
  rows: [],
}
export const socketEvents: readonly SocketEvent[] = [
  ...deviceEvents,
  {
    namespace: '/board',
    event: 'subscribe',
    from: 'client',
    title: 'Joins a day’s board: a whole picture, or the patches since a cursor of the same log',
    message: subscribeRequest,
    answer: subscribeAnswer,
    example: { day: 'ellery-county-2026-11-03-practice' },
    answerExample: { ok: true, patches: [patchExample] },
  },
  {
    namespace: '/board',
    event: 'patch',
    from: 'server',
    title:
      'Whole rows that changed, at most four patches a second; a gap in the cursors asks for a new picture',
    message: patch,
    example: patchExample,
  },
  {
    namespace: '/board',
    event: 'command',
    from: 'client',
    title: 'What desk, rovers, supervisors and receiving stations decide; after subscribing',
    message: commandRequest,
    answer: commandAnswer,
    example: {
      id: '7c9e6679-7425-40de-944b-e07fc1f90ae7',
      kind: 'AddNote',
      body: { precinct: null, note: 'Ferry runs an hour late.' },
    },
    answerExample: { ok: true, position: 814 },
  },
]

/** The specification of the sockets, AsyncAPI 3.0 (https://www.asyncapi.com/docs/reference/specification/v3.0.0). */
export function asyncapi(version: string): Record<string, unknown> {
  const messageOf = (
    name: string,
    title: string,
    schema: z.ZodType,
    io: 'input' | 'output',
    examples: object[],
  ) => ({
    name,
    title,
    contentType: 'application/json',
    payload: { schemaFormat: 'application/schema+json;version=draft-2020-12', schema: schemaOf(schema, io) },
    examples,
  })
  const channels: Record<
    string,
    { address: string; description: string; messages: Record<string, unknown> }
  > = {
    precinct: {
      address: '/precinct',
      description: deviceWords,
      messages: {},
    },
    board: {
      address: '/board',
      description: 'People: a signed-in session with our own Origin, or `auth: {token}`.',
      messages: {},
    },
  }
  const operations: Record<string, unknown> = {}
  for (const e of socketEvents) {
    const channel = e.namespace.slice(1)
    const { messages } = channels[channel]!
    const exchanges = e.more ?? []
    messages[e.event] = messageOf(e.event, e.title, e.message, e.from === 'client' ? 'input' : 'output', [
      { payload: e.example },
      ...exchanges.map(x => ({ name: x.name, summary: x.title, payload: x.message })),
    ])
    const answerName = `${e.event} answer`
    if (e.answer)
      messages[`${e.event}Answer`] = messageOf(
        answerName,
        `The acknowledgement of ${e.event}`,
        e.answer,
        'output',
        [
          { payload: e.answerExample },
          ...exchanges.map(x => ({ name: x.name, summary: x.title, payload: x.answer })),
        ],
      )
    operations[`${channel}.${e.event}`] = {
      // Seen from the server: what a client emits is received.
      action: e.from === 'client' ? 'receive' : 'send',
      channel: { $ref: `#/channels/${channel}` },
      summary: e.title,
      messages: [{ $ref: `#/channels/${channel}/messages/${e.event}` }],
      ...(e.answer
        ? {
            reply: {
              channel: { $ref: `#/channels/${channel}` },
              messages: [{ $ref: `#/channels/${channel}/messages/${e.event}Answer` }],
            },
          }
        : {}),
    }
  }
  return {
    asyncapi: '3.0.0',
    info: {
      title: 'Sunup, the sockets',
      version,
      description: `${caution} Socket.IO, path /socket.io/; two namespaces. Wire version ${WIRE.version}, oldest served ${WIRE.floor}.`,
    },
    defaultContentType: 'application/json',
    channels,
    operations,
  }
}
