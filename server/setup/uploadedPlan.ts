import type { z } from 'zod'
import { readPlanFiles } from '../cli/planFiles.ts'
import type { CheckedPlan } from '../domain/plan/check.ts'
import type { planUpload } from '../protocol/setup.ts'
import { unzipPlan } from './unzipPlan.ts'

/** The plan of an upload, or its faults: its files, or the files of the one zip that it is. */
export async function uploadedPlan(files: z.output<typeof planUpload>['files']): Promise<CheckedPlan> {
  const given = files.map(({ name, base64 }) => ({ name, bytes: Buffer.from(base64, 'base64') }))
  const zips = given.filter(f => f.name.toLowerCase().endsWith('.zip'))
  const zip = zips[0]
  if (!zip) return readPlanFiles(given)
  const fault = (found: string, message: string): CheckedPlan => ({
    faults: [{ file: zip.name, line: null, column: null, found, message }],
  })
  if (given.length > 1) return fault(`${given.length} files`, 'one zip by itself, or the files of the plan')
  const unzipped = await unzipPlan(zip.bytes)
  return unzipped.ok ? readPlanFiles(unzipped.files) : fault(unzipped.found, unzipped.message)
}
