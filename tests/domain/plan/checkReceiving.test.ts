import { describe, expect, it } from 'vitest'
import { faultsOf, folder, goodJson, withJson } from './checkSupport.ts'

describe('receiving places', () => {
  it('need not be named', () => {
    expect(withJson({})).toEqual([])
  })

  it('are places of places.csv', () => {
    expect(withJson({ receiving: ['grange'] })).toEqual([])
    expect(withJson({ receiving: ['grange', 'courthouse'] })).toEqual([
      expect.stringMatching(
        /^plan\.json(:\d+)? receiving\.1: found "courthouse"; a code that stands in places\.csv$/,
      ),
    ])
  })

  it('stand once each', () => {
    expect(withJson({ receiving: ['grange', 'grange'] })).toEqual([
      expect.stringMatching(/receiving\.1: found "grange"; stands already in the list; once is enough$/),
    ])
  })

  it('are a list of at least one, where the field is given', () => {
    expect(withJson({ receiving: [] })).toEqual([expect.stringMatching(/ receiving: .*at least 1$/)])
    expect(withJson({ receiving: 'grange' })).toHaveLength(1)
  })

  it('are not called unknown while places.csv could not be read', () => {
    const faults = faultsOf(folder({ ...goodJson, receiving: ['courthouse'] }, { places: null }))
    expect(faults.filter(f => f.includes('receiving'))).toEqual([])
  })
})
