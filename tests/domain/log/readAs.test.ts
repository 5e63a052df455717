import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { checkPrecinctReport, readAs } from '../../../server/domain/log/check.ts'

describe('what came from outside', () => {
  const nasty = { length: JSON.parse('{"toString": 1, "valueOf": 2}') }

  it('is refused, not thrown, where zod itself throws', () => {
    expect(() => z.string().max(5).safeParse(nasty)).toThrow(TypeError)
    expect(readAs(z.string().max(5), nasty)).toMatchObject({
      success: false,
      error: { issues: [{ path: [], message: 'this can’t be read' }] },
    })
    expect(checkPrecinctReport('IncidentNoted', { category: 'power', what: nasty })).toEqual({
      problems: [{ path: 'body', message: 'this can’t be read' }],
    })
  })

  it('is read as always where it can be', () => {
    expect(readAs(z.string().max(5), 'four')).toEqual({ success: true, data: 'four' })
    expect(readAs(z.string().max(5), 'too long').success).toBe(false)
  })
})
