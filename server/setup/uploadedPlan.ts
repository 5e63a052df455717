import type { z } from 'zod'
import { readPlanFiles } from '../cli/planFiles.ts'
import type { CheckedPlan } from '../domain/plan/check.ts'
import type { planUpload } from '../protocol/setup.ts'
import { unzipPlan } from './unzipPlan.ts'

/** The plan of an upload, or its faults: its files, or the files of the one zip that it is. */
export async function uploadedPlan(files: z.output<typeof planUpload>['files']): Promise<CheckedPlan> {
  const given = files.map(({ name, base64 }) => ({ name, bytes: Buffer.from(base64, 'base64') }))
  const workbooks = given.filter(isWorkbook)
  if (workbooks.length > 0) return { faults: workbooks.map(({ name }) => workbook(name)) }
  const zips = given.filter(f => f.name.toLowerCase().endsWith('.zip'))
  const zip = zips[0]
  if (!zip) return readPlanFiles(given)
  const fault = (found: string, message: string): CheckedPlan => ({
    faults: [{ file: zip.name, line: null, column: null, found, message }],
  })
  if (given.length > 1) return fault(`${given.length} files`, 'one zip by itself, or the files of the plan')
  const unzipped = await unzipPlan(zip.bytes)
  if (!unzipped.ok) return fault(unzipped.found, unzipped.message)
  const inside = unzipped.files.filter(isWorkbook)
  return inside.length > 0
    ? { faults: inside.map(({ name }) => workbook(`${zip.name}/${name}`)) }
    : readPlanFiles(unzipped.files)
}

const workbook = (file: string) => ({
  file,
  line: null,
  column: null,
  found: 'a spreadsheet workbook',
  message: 'save each of its sheets as CSV (UTF-8), and upload these',
})

/**
 * Whether these bytes are a spreadsheet's own file, whatever they are called: the older kind begins as a compound file
 * does, the newer ones are zips with `xl/workbook…` in the directory at their end (ECMA-376), or with `mimetype` first
 * (OpenDocument 1.3, part 2, 3.3: the first file, stored, its name at byte 30).
 */
function isWorkbook({ bytes }: { bytes: Uint8Array }): boolean {
  const from = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  if (from.subarray(0, 8).equals(COMPOUND_FILE)) return true
  if (!from.subarray(0, 4).equals(ZIP)) return false
  if (
    from
      .subarray(30, 90)
      .toString('latin1')
      .startsWith('mimetypeapplication/vnd.oasis.opendocument.spreadsheet')
  )
    return true
  // Its names stand once more at its end, in the directory.
  return from.subarray(-DIRECTORY_BYTES).includes('xl/workbook')
}

const COMPOUND_FILE = Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1])
const ZIP = Buffer.from('PK\x03\x04', 'latin1')
/** A workbook of a thousand sheets has a directory of about a hundred kilobytes. */
const DIRECTORY_BYTES = 256 * 1024
