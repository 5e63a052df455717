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
  cards: true,
})

type Heartbeat = Policy['heartbeat']
/** Fields that other checks go by; each only where it is good by itself, whatever is wrong beside it. */
type GoodFields = Partial<Pick<Plan, 'depot' | 'receiving'>> & {
  policy?: Partial<Omit<Policy, 'heartbeat'>> & { heartbeat?: Partial<Heartbeat> }
}

/** What plan.json says, as far as it can be read: `fields` only where all of them are good. */
export type CheckedJson = {
  hours: unknown
  fields: Omit<Plan, TableName> | null
  good: GoodFields
  lineOf: (path: ReadonlyArray<PropertyKey>) => number
}

/** Names that an object of the schema knows, by its path. */
function knownAt(path: ReadonlyArray<PropertyKey>): string[] {
  let at: unknown = fieldsOfJson
  for (const key of path) at = shapeOf(at)[String(key)]
  return Object.keys(shapeOf(at))
}

/** The fields of an object of the schema, which may be left out or not; none of anything else. */
function shapeOf(schema: unknown): Readonly<Record<string, z.ZodType>> {
  let at = schema
  while (at instanceof z.ZodPrefault || at instanceof z.ZodDefault || at instanceof z.ZodOptional)
    at = at.def.innerType
  return at instanceof z.ZodObject ? at.shape : {}
}

/** Each field of an object that is good by itself, standard values with them; one that isn't is left out. */
function goodFields(schema: z.ZodType, value: object): Record<string, unknown> {
  const good: Record<string, unknown> = {}
  for (const [key, field] of Object.entries(shapeOf(schema))) {
    const is = valueAt(value, [key])
    const parsed = field.safeParse(is)
    if (parsed.success) good[key] = parsed.data
    else if (Object.keys(shapeOf(field)).length > 0 && typeof is === 'object' && is !== null)
      good[key] = goodFields(field, is)
  }
  return good
}

/** Where a reason ends, and where it begins: it would end at once, or flap, if the first lay beyond the second. */
const HYSTERESIS = [
  ['behindOpeningEndMinutes', 'behindOpeningMinutes'],
  ['longLineEndMinutes', 'longLineMinutes'],
  ['lateOpeningEndChance', 'lateOpeningChance'],
  ['lineGrowingEndChance', 'lineGrowingChance'],
  ['ballotsEndChance', 'ballotsChance'],
] as const satisfies ReadonlyArray<readonly [keyof Policy, keyof Policy]>

/** The first must be less than the second. */
const HEARTBEAT = [
  ['periodSeconds', 'lateAfterSeconds'],
  ['lateAfterSeconds', 'silentAfterSeconds'],
] as const satisfies ReadonlyArray<readonly [keyof Heartbeat, keyof Heartbeat]>

/** Thresholds that contradict each other, of those that are good by themselves: [path, its value, what would do]. */
function contradictions(policy: GoodFields['policy'] = {}): Array<[string[], number, string]> {
  const found: Array<[string[], number, string]> = []
  for (const [less, more] of HEARTBEAT) {
    const [before, after] = [policy.heartbeat?.[less], policy.heartbeat?.[more]]
    if (before !== undefined && after !== undefined && after <= before)
      found.push([['policy', 'heartbeat', more], after, `more than ${less} (${before})`])
  }
  for (const [end, begin] of HYSTERESIS) {
    const [ends, begins] = [policy[end], policy[begin]]
    if (ends !== undefined && begins !== undefined && ends > begins)
      found.push([['policy', end], ends, `at most ${begin} (${begins})`])
  }
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
  const good: GoodFields = goodFields(fieldsOfJson, object)
  for (const [path, is, message] of contradictions(good.policy))
    tell(path, is, valueAt(value, path) === undefined ? `${message}; it is the standard value` : message)
  return { hours: object.hours, fields: parsed.data ?? null, good, lineOf }
}
