import { describe, expect, it } from 'vitest'
import { randomOf } from '../../../seed/simulator/random.ts'
import { readPlanFiles } from '../../../server/cli/planFiles.ts'
import { type TableName, tables } from '../../../server/domain/plan/csv.ts'
import { goodJson, goodTables } from './checkSupport.ts'

/** A good small plan folder as bytes. */
const good: Array<{ name: string; bytes: Buffer }> = [
  { name: 'plan.json', bytes: Buffer.from(JSON.stringify(goodJson, null, 2)) },
  ...Object.entries(goodTables).map(([name, text]) => ({
    name: tables[name as TableName].file as string,
    bytes: Buffer.from(text),
  })),
]
const FOLDERS = 3_000

/** Pieces that spreadsheets, editors and attackers leave in files. */
const PIECES = [
  '"',
  '""',
  '\n',
  '\r',
  ',',
  ';',
  '\t',
  '\u0000',
  '\ufeff',
  'ÿþ',
  '=cmd|x',
  '-1',
  '1e999',
  '9'.repeat(300),
  '٣',
  'PK\u0003\u0004',
  '{',
  '}',
  '[',
  ']',
  '__proto__',
  'constructor',
  ' ',
  '\u202e',
  '2026-13-45',
  '25:61',
  'null',
  'sep=;\n',
].map(text => Buffer.from(text))

describe('plan files', () => {
  it(`as ${FOLDERS} seeds of chance have spoiled them are a plan or a list of faults, each with file and words`, () => {
    const random = randomOf(20261103, 'plan files')
    let faulty = 0
    for (let i = 0; i < FOLDERS; i++) {
      const files = good.map(file => ({ ...file }))
      for (let n = random.whole(1, 3); n > 0; n--) {
        const file = files[random.whole(0, files.length - 1)]!
        file.bytes = spoiled(file.bytes, random.whole, random.next)
      }
      if (random.next() < 0.05) files.splice(random.whole(0, files.length - 1), 1)
      const checked = readPlanFiles(files)
      if (!('faults' in checked)) continue
      faulty++
      expect(checked.faults.length).toBeGreaterThan(0)
      for (const fault of checked.faults) {
        expect(fault.message).not.toBe('')
        expect(fault.file).not.toBe('')
        expect(fault.found.length).toBeLessThan(200)
      }
    }
    // Most changes hurt; some only change a name or a number within its range.
    expect(faulty).toBeGreaterThan(FOLDERS / 2)
  }, 60_000)
})

function spoiled(bytes: Buffer, whole: (low: number, high: number) => number, next: () => number): Buffer {
  const at = whole(0, Math.max(0, bytes.length - 1))
  const what = next()
  if (what < 0.25) {
    const copy = Buffer.from(bytes)
    if (copy.length > 0) copy[at] = whole(0, 255)
    return copy
  }
  if (what < 0.4) return bytes.subarray(0, at)
  if (what < 0.55) return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + whole(1, 40))])
  if (what < 0.65) return Buffer.concat([bytes, bytes.subarray(at)])
  const piece = PIECES[whole(0, PIECES.length - 1)]!
  return Buffer.concat([bytes.subarray(0, at), piece, bytes.subarray(at)])
}
