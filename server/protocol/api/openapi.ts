import { precinctKinds } from '../../domain/log/kindsOfPrecinct.ts'
import { refused } from '../answers.ts'
import { commandBodies } from '../command.ts'
import type { Operation } from './operation.ts'
import { caution, schemaOf } from './schemaOf.ts'

const refusals: Readonly<Record<number, string>> = {
  400: 'not readable, or a field is wrong: which, and what would do',
  401: 'no session, no token, no key that is known',
  403: 'the role may not, or a write by cookie came from a foreign page',
  429: 'too often: `retryAfter`, and Retry-After in seconds',
}

/** The specification of what can be asked over HTTP, OpenAPI 3.1 (https://spec.openapis.org/oas/v3.1.0). */
export function openapi(operations: readonly Operation[], version: string): Record<string, unknown> {
  const paths: Record<string, Record<string, unknown>> = {}
  for (const operation of operations) {
    const path = operation.pattern.replace(/:(\w+)/g, '{$1}')
    paths[path] = { ...paths[path], [operation.method.toLowerCase()]: described(operation) }
  }
  return {
    openapi: '3.1.0',
    info: { title: 'Sunup', version, description: caution },
    servers: [{ url: '/', description: 'this server' }],
    tags: [
      { name: 'devices', description: 'a precinct’s tablet, or a program in its place' },
      { name: 'days', description: 'a running day: its picture, its log, its commands' },
      { name: 'setup', description: 'days, plans and devices, for administrators' },
      { name: 'people', description: 'accounts and tokens, for administrators' },
      { name: 'this', description: 'these specifications' },
    ],
    paths,
    components: {
      securitySchemes: {
        person: { type: 'http', scheme: 'bearer', description: 'a person’s or program’s token, with a role' },
        session: { type: 'apiKey', in: 'cookie', name: 'session', description: 'a signed-in browser' },
        device: { type: 'http', scheme: 'bearer', description: 'the key of an enrolled device' },
      },
      schemas: {
        Refused: schemaOf(refused, 'output'),
        ...Object.fromEntries(
          Object.entries(precinctKinds).map(([kind, { body }]) => [
            `Report.${kind}`,
            { ...schemaOf(body, 'input'), description: `the body of a report of kind ${kind}` },
          ]),
        ),
        ...Object.fromEntries(
          Object.entries(commandBodies).map(([kind, body]) => [
            `Command.${kind}`,
            { ...schemaOf(body, 'input'), description: `the body of the command ${kind}` },
          ]),
        ),
      },
    },
  }
}

function described(operation: Operation): Record<string, unknown> {
  const { who } = operation
  const people = who === 'anyone' ? [] : who.filter(w => w !== 'device')
  const forWhom = who === 'anyone' ? 'anyone' : who.join(', ')
  return {
    operationId: operation.id,
    tags: [operation.group],
    summary: operation.title,
    description: [operation.words, `For: ${forWhom}.`].filter(Boolean).join(' '),
    security:
      who === 'anyone'
        ? []
        : [
            ...(people.length > 0 ? [{ person: [] }, { session: [] }] : []),
            ...(who.includes('device') ? [{ device: [] }] : []),
          ],
    ...parametersOf(operation),
    ...(operation.body
      ? {
          requestBody: {
            required: true,
            content: {
              'application/json': {
                schema: schemaOf(operation.body, 'input'),
                example: operation.example.body,
              },
            },
          },
        }
      : {}),
    responses: {
      200: {
        description: 'done',
        content: {
          'application/json': {
            schema: schemaOf(operation.answer, 'output'),
            ...(operation.example.status === undefined ? { example: operation.example.answer } : {}),
          },
        },
      },
      ...Object.fromEntries(
        Object.entries({ ...(who === 'anyone' ? {} : refusals), ...operation.more }).map(
          ([status, words]) => [
            status,
            {
              description: words,
              content: {
                'application/json': {
                  schema: { $ref: '#/components/schemas/Refused' },
                  ...(operation.example.status === Number(status)
                    ? { example: operation.example.answer }
                    : {}),
                },
              },
            },
          ],
        ),
      ),
    },
  }
}

function parametersOf({ pattern, query, example }: Operation): { parameters?: unknown[] } {
  const path = [...pattern.matchAll(/:(\w+)/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
    example: example.path?.[name!],
  }))
  const asked = query ? (schemaOf(query, 'output') as { properties: Record<string, unknown> }).properties : {}
  const inQuery = Object.entries(asked).map(([name, schema]) => ({
    name,
    in: 'query',
    required: false,
    schema,
    ...(example.query?.[name] === undefined ? {} : { example: example.query[name] }),
  }))
  const parameters = [...path, ...inQuery]
  return parameters.length > 0 ? { parameters } : {}
}
