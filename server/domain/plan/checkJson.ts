import { z } from 'zod'
import { issueWords } from '../issueWords.ts'
import { valueAt } from './checkFault.ts'
import { hoursFaults } from './checkHours.ts'
import type { TableName } from './csv.ts'
import type { FaultList } from './faultList.ts'
import { readJson } from './jsonPlaces.ts'
import { didYouMean } from './nearest.ts'
import { type Plan, plan as planSchema } from './plan.ts'
import type { Policy } from './policy.ts'

export const JSON_FILE = 'plan.json'

const fieldsOfJson = planSchema.omit({
  places: true,
  precincts: true,
  equipment: true,
  seals: true,
  rovers: true,
  contacts: true,
  steps: true,
  profile: true,
  styles: true,
})

/** What plan.json says, as far as it can be read: `fields` only where all of them are good. */
export type CheckedJson = {
  hours: unknown
  fields: Omit<Plan, TableName> | null
  lineOf: (path: ReadonlyArray<PropertyKey>) => number
}

/** Names that an object of the schema knows, by its path. */
function knownAt(path: ReadonlyArray<PropertyKey>): string[] {
  let at: unknown = fieldsOfJson
  const inner = () => {
    while (at instanceof z.ZodPrefault || at instanceof z.ZodDefault || at instanceof z.ZodOptional)
      at = at.def.innerType
  }
  for (const key of path) {
    inner()
    at = at instanceof z.ZodObject ? at.shape[String(key)] : undefined
  }
  inner()
  return at instanceof z.ZodObject ? Object.keys(at.shape) : []
}

/** Where a reason ends, and where it begins: it would end at once, or flap, if the first lay beyond the second. */
const HYSTERESIS = [
  ['behindOpeningEndMinutes', 'behindOpeningMinutes'],
  ['longLineEndMinutes', 'longLineMinutes'],
  ['lateOpeningEndChance', 'lateOpeningChance'],
  ['lineGrowingEndChance', 'lineGrowingChance'],
  ['ballotsEndChance', 'ballotsChance'],
] as const satisfies ReadonlyArray<readonly [keyof Policy, keyof Policy]>

/** Thresholds that contradict each other: [path, its value, what would do]. */
function contradictions(policy: Policy): Array<[string[], number, string]> {
  const { periodSeconds, lateAfterSeconds, silentAfterSeconds } = policy.heartbeat
  const found: Array<[string[], number, string]> = []
  if (lateAfterSeconds <= periodSeconds)
    found.push([
      ['policy', 'heartbeat', 'lateAfterSeconds'],
      lateAfterSeconds,
      `more than periodSeconds (${periodSeconds})`,
    ])
  if (silentAfterSeconds <= lateAfterSeconds)
    found.push([
      ['policy', 'heartbeat', 'silentAfterSeconds'],
      silentAfterSeconds,
      `more than lateAfterSeconds (${lateAfterSeconds})`,
    ])
  for (const [end, begin] of HYSTERESIS)
    if (policy[end] > policy[begin])
      found.push([['policy', end], policy[end], `at most ${begin} (${policy[begin]})`])
  return found
}

/** Everything that is wrong with plan.json, each with its line; null where it is no JSON. */
export function checkJson(text: string, faults: FaultList): CheckedJson | null {
  const read = readJson(text.replace(/^\uFEFF/, ''))
  if ('trouble' in read) {
    const { line, character, found, message } = read.trouble
    faults.add(JSON_FILE, line, `character ${character}`, found, `JSON: ${message}`)
    return null
  }
  const { value, placeOf } = read
  const lineOf = (path: ReadonlyArray<PropertyKey>) => placeOf(path).line
  const tell = (path: ReadonlyArray<PropertyKey>, found: unknown, message: string) =>
    faults.add(JSON_FILE, lineOf(path), path.length > 0 ? path.map(String).join('.') : null, found, message)

  const parsed = fieldsOfJson.safeParse(value)
  for (const issue of parsed.error?.issues ?? []) {
    const found = valueAt(value, issue.path)
    if (issue.code !== 'unrecognized_keys') {
      tell(issue.path, found, issueWords(issue, found))
      continue
    }
    const known = knownAt(issue.path)
    for (const key of issue.keys) {
      const path = [...issue.path, key]
      const near = didYouMean(key, known)
      tell(
        path,
        valueAt(value, path),
        near === '' ? `unknown field: take it away; known are ${known.join(', ')}` : `unknown field${near}`,
      )
    }
  }
  const object = typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {}
  hoursFaults(object, tell)
  for (const [path, is, message] of parsed.success ? contradictions(parsed.data.policy) : [])
    tell(path, is, valueAt(value, path) === undefined ? `${message}; it is the standard value` : message)
  return { hours: object.hours, fields: parsed.data ?? null, lineOf }
}
