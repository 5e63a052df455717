import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../../server/domain/plan/jsonPlaces.ts'

const placeOf = (text: string, ...path: string[]) => {
  const read = readJson(text)
  if ('trouble' in read) throw new Error(read.trouble.message)
  const { line, character } = read.placeOf(path)
  return `${line}:${character}`
}

describe('places in a JSON text', () => {
  const text = '{\n  "a": 1,\r\n  "b": {\r    "c": [10, {"d": "x"}]\n  }\n}'

  it('are line and character of each value, through any line ends', () => {
    expect(placeOf(text)).toBe('1:1')
    expect(placeOf(text, 'a')).toBe('2:8')
    expect(placeOf(text, 'b')).toBe('3:8')
    expect(placeOf(text, 'b', 'c')).toBe('4:10')
    expect(placeOf(text, 'b', 'c', '1', 'd')).toBe('4:21')
  })

  it('of what isn’t there are those of the nearest parent', () => {
    expect(placeOf(text, 'b', 'x', 'y')).toBe('3:8')
    expect(placeOf(text, 'z')).toBe('1:1')
  })

  it('a name with a dot or a quotation mark is not mistaken for a path', () => {
    expect(placeOf('{"a.b": 1,\n"a": {"b": 2}}', 'a', 'b')).toBe('2:12')
    expect(placeOf('{"a\\"": 1}', 'a"')).toBe('1:9')
  })

  it('whatever the platform writes as JSON is read as the same value', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.constantFrom(undefined, 2, '\t'), (value, indent) => {
        const read = readJson(JSON.stringify(value, null, indent))
        expect('value' in read && read.value).toEqual(JSON.parse(JSON.stringify(value)))
      }),
      { numRuns: 300, seed: 7 },
    )
  })

  it('takes and refuses what the platform takes and refuses, but for names that stand twice and depth', () => {
    const piece = fc.constantFrom(
      '{',
      '}',
      '[',
      ']',
      ',',
      ':',
      '"a"',
      '"b"',
      '1',
      '-0.5e3',
      '01',
      'true',
      'nul',
      ' ',
      '\n',
      '"',
    )
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 9 }), pieces => {
        const text = pieces.join('')
        const read = readJson(text)
        let fine = true
        try {
          JSON.parse(text)
        } catch {
          fine = false
        }
        if ('trouble' in read && /stands once/.test(read.trouble.message)) return
        expect('value' in read).toBe(fine)
      }),
      { numRuns: 3_000, seed: 7 },
    )
  })
})
