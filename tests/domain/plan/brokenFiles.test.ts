import { describe, expect, it } from 'vitest'
import { canonicalPlan } from '../../../server/domain/plan/hash.ts'
import { type Files, goodTexts, read } from './brokenSupport.ts'

const faultsOf = (changed: Files) => {
  const found = read(changed)
  return 'faults' in found ? found.faults : []
}
const textOf = (changed: Files) => {
  const found = read(changed)
  if ('faults' in found) throw new Error(found.faults.join('\n'))
  return canonicalPlan(found.plan)
}
const csvs = Object.keys(goodTexts).filter(file => file.endsWith('.csv'))
/** Every CSV file written otherwise. */
const rewritten = (write: (text: string, file: string) => string): Files =>
  Object.fromEntries(csvs.map(file => [file, write(goodTexts[file]!, file)]))

/** As a spreadsheet of another country writes it: other dividers, decimal commas, lists in quotation marks. */
const european = (text: string, divider: ';' | '\t') =>
  text
    .split('\n')
    .map(line =>
      line
        .split(',')
        .map(cell => (cell.includes(';') ? `"${cell}"` : cell.replace(/^(-?\d+)\.(\d+)$/, '$1,$2')))
        .join(divider),
    )
    .join('\n')

describe('files as spreadsheets write them make the same plan:', () => {
  const good = textOf({})
  it.each<[string, Files]>([
    ['line ends of Windows', rewritten(t => t.replaceAll('\n', '\r\n'))],
    ['line ends of old computers', rewritten(t => t.replaceAll('\n', '\r'))],
    [
      'a byte order mark',
      { ...rewritten(t => `\uFEFF${t}`), 'plan.json': `\uFEFF${goodTexts['plan.json']}` },
    ],
    ['blank lines, and lines of empty cells', rewritten(t => `\n${t.replaceAll('\n', '\n\n,,,\n')}\n\n`)],
    ['empty columns at the right', rewritten(t => t.replaceAll('\n', ',,\n').concat(',,'))],
    ['more empty cells than the header has', rewritten(t => `${t},,,`)],
    ['every cell in quotation marks', rewritten(t => t.replace(/[^,\n]+/g, '"$&"'))],
    ['spaces around cells', rewritten(t => t.replaceAll(',', ' , '))],
    ['spaces that don’t break around cells', rewritten(t => t.replaceAll(',', '\u00A0,\u202F'))],
    ['signs without width in cells', rewritten(t => t.replace(/gull/gi, '$&\u200B'))],
    ['semicolons between cells, commas in numbers', rewritten(t => european(t, ';'))],
    ['tabs between cells, commas in numbers', rewritten(t => european(t, '\t'))],
    ['a first line that says what divides the cells', rewritten(t => `sep=;\n${european(t, ';')}`)],
    [
      'lists divided by bars',
      rewritten(t => european(t, ';').replace(/"([^"]*)"/g, (_, l) => l.replaceAll(';', '|'))),
    ],
    [
      'lists divided by commas among semicolons',
      rewritten(t => european(t, ';').replace(/"([^"]*)"/g, (_, l) => l.replaceAll(';', ','))),
    ],
    [
      'times without their zero, or with seconds',
      { 'profile.csv': 'from,to,share\n6:30,13:00:00,0.55\n13:00,19:30,0.45' },
    ],
    [
      'yes and no in capitals',
      { 'steps.csv': goodTexts['steps.csv']!.replaceAll(',yes', ',YES').replaceAll(',no', ',No') },
    ],
  ])('%s', (_, changed) => {
    expect(textOf(changed)).toBe(good)
  })

  it('a name may hold a comma, a line end and quotation marks, and lines are counted through it', () => {
    const precincts = goodTexts['precincts.csv']!.replace('Gull Point,', '"Gull ""Old"" Point,\nnorth",')
    const found = read({ 'precincts.csv': precincts })
    expect('plan' in found && found.plan.precincts[0]!.name).toBe('Gull "Old" Point,\nnorth')
    expect(faultsOf({ 'precincts.csv': precincts.replace(',3,12,6', ',0,12,6') })).toEqual([
      'precincts.csv:4 stations: found "0"; at least 1',
    ])
  })

  it('a vote center may leave its registered voters empty', () => {
    const precincts = goodTexts['precincts.csv']!.replace('workers', 'workers,serves')
      .replace('1000,600,800,2,8,5', ',600,800,2,8,5,everyone')
      .replace('3,12,6', '3,12,6,')
    const found = read({ 'precincts.csv': precincts })
    expect('plan' in found && found.plan.precincts.map(p => [p.registered, p.serves])).toEqual([
      [0, 'everyone'],
      [1_400, undefined],
    ])
  })

  it('lines keep their numbers after a line that says what divides the cells', () => {
    expect(faultsOf({ 'profile.csv': 'sep=;\nfrom;to;share\n06:30;13:00;0,55\n13:00;19:30;45%' })).toEqual([
      'profile.csv:4 share: found "45%"; a share of 1 without the percent sign: 0.45',
    ])
  })
})

const bytes = (text: string) => Buffer.from(text, 'latin1')
const utf16 = (text: string, mark: string) => Buffer.from(mark + text, 'utf16le')

describe('a file that is no text in UTF-8 is named for what it is:', () => {
  it.each<[string, Files, string]>([
    [
      'a spreadsheet by another name',
      { 'precincts.csv': bytes('PK\u0003\u0004\u0014\u0000workbook') },
      'precincts.csv: text: this is a spreadsheet file or a zip archive, whatever its name; save each sheet as “CSV UTF-8”',
    ],
    [
      'an old spreadsheet by another name',
      { 'precincts.csv': bytes('\u00D0\u00CF\u0011\u00E0\u00A1\u00B1') },
      'precincts.csv: text: this is an old spreadsheet file, whatever its name; save each sheet as “CSV UTF-8”',
    ],
    [
      'UTF-16',
      { 'seals.csv': utf16(goodTexts['seals.csv']!, '\uFEFF') },
      'seals.csv: text in UTF-8: this is UTF-16 (“Unicode text”); export it again as “CSV UTF-8”',
    ],
    [
      'UTF-16 without its mark',
      { 'seals.csv': utf16(goodTexts['seals.csv']!, '') },
      'seals.csv: text in UTF-8: this is UTF-16 (“Unicode text”); export it again as “CSV UTF-8”',
    ],
    [
      'Windows-1252, with the word and its line',
      { 'contacts.csv': bytes(goodTexts['contacts.csv']!.replace('Bram Hawes', 'Bram H\u00E9bert-Roy')) },
      'contacts.csv:2: found "Hébert-Roy"; text in UTF-8: this looks like Windows-1252 (“ANSI”); export it again as “CSV UTF-8”',
    ],
    [
      'Windows-1252 by nothing but an apostrophe',
      { 'precincts.csv': bytes(goodTexts['precincts.csv']!.replace('North Light', 'Ebb\u0092s Light')) },
      'precincts.csv:3: found "Ebb’s"; text in UTF-8: this looks like Windows-1252 (“ANSI”); export it again as “CSV UTF-8”',
    ],
    [
      'text with a NUL in it',
      { 'rovers.csv': goodTexts['rovers.csv']!.replace('Ana', 'A\u0000a') },
      'rovers.csv:2: text without NUL bytes: this is no text file, or it is damaged',
    ],
    [
      'a JSON file that is none',
      { 'plan.json': bytes('\u0089PNG\r\n') },
      'plan.json:1: found "‰PNG"; text in UTF-8: this looks like Windows-1252 (“ANSI”); export it again as “CSV UTF-8”',
    ],
  ])('%s', (_, changed, says) => {
    expect(faultsOf(changed)).toEqual([says])
  })
})

describe('what is too much is said, and nothing breaks:', () => {
  const million = 'x'.repeat(1024 * 1024)
  it.each<[string, Files, string[]]>([
    [
      'a cell of a megabyte',
      { 'places.csv': goodTexts['places.csv']!.replace('1 Gull Point Road', million) },
      [`places.csv:2 address: found "${'x'.repeat(79)}…"; at most 160 characters`],
    ],
    [
      'a column’s name of a megabyte',
      {
        'profile.csv': goodTexts['profile.csv']!.replace('share', `share,${million}`)
          .replace('0.55', '0.55,')
          .replace('0.45', '0.45,'),
      },
      [`profile.csv:1 column 4: found "${'x'.repeat(79)}…"; unknown column; known are from, to, share`],
    ],
    [
      'a number of a megabyte',
      { 'places.csv': goodTexts['places.csv']!.replace('41.5,', `${'9'.repeat(1024 * 1024)},`) },
      [`places.csv:2 latitude: found "${'9'.repeat(79)}…"; a number, such as 12 or 0.5`],
    ],
    [
      'a file over its size',
      { 'seals.csv': 'x'.repeat(16 * 1024 * 1024 + 1) },
      ['seals.csv: at most 16 MB; no plan needs a file so large'],
    ],
    [
      'a plan.json over its size',
      { 'plan.json': million + million },
      ['plan.json: at most 1 MB; no plan needs a file so large'],
    ],
    [
      'too many rows',
      { 'profile.csv': `from,to,share\n${'06:30,13:00,0.1\n'.repeat(201)}` },
      ['profile.csv:202: found "06:30,13:00,0.1"; at most 200 rows; take this one and what follows away'],
    ],
    [
      'millions of rows',
      { 'profile.csv': `from,to,share\n${'1\n'.repeat(4_000_000)}` },
      ['profile.csv:202: found "1"; at most 200 rows; take this one and what follows away'],
    ],
    [
      'a thousand columns',
      { 'profile.csv': `from,to,share${',x'.repeat(1_000)}\n` },
      [`profile.csv:1: found "from,to,share${',x'.repeat(33)}…"; at most 100 columns`],
    ],
    [
      'brackets without end',
      { 'plan.json': '['.repeat(100_000) },
      ['plan.json:1 character 42: JSON: nothing nested deeper than 40'],
    ],
    [
      'an empty file',
      { 'plan.json': '', 'steps.csv': '' },
      [
        'plan.json:1 character 1: JSON: an object in braces { }: the file is empty',
        'steps.csv:1: a header row with the columns code, phase, title, after, medianMinutes, p90Minutes, byTwo, completedBy',
      ],
    ],
    [
      'a name that means something to programs',
      { 'plan.json': goodTexts['plan.json']!.replace('"county"', '"__proto__": {}, "county"') },
      ['plan.json:3 __proto__: found "{}"; unknown field: take it away; known are'],
    ],
  ])('%s', (_, changed, says) => {
    const told = faultsOf(changed)
    expect(told).toHaveLength(says.length)
    for (const [i, says1] of says.entries()) expect(told[i]!.slice(0, says1.length)).toBe(says1)
  })
})
