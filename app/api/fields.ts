/** One line of a table of fields. */
export type Field = { path: string; type: string; needed: boolean; words: string }

type Schema = {
  type?: string | string[]
  const?: unknown
  enum?: unknown[]
  format?: string
  description?: string
  properties?: Record<string, Schema>
  required?: string[]
  items?: Schema | false
  prefixItems?: Schema[]
  additionalProperties?: Schema | boolean
  anyOf?: Schema[]
  oneOf?: Schema[]
  minimum?: number
  maximum?: number
  minLength?: number
  maxLength?: number
  minItems?: number
  maxItems?: number
}

/** Deeper than this a table helps nobody: the schema itself says the rest. */
const DEPTH = 5

/** The fields of a JSON Schema as lines: `reports[].body` is a field of each item of a list. */
export function fieldsOf(schema: object): Field[] {
  const fields: Field[] = []
  walk(schema as Schema, '', true, 0, fields)
  return fields
}

function walk(schema: Schema, path: string, needed: boolean, depth: number, fields: Field[]) {
  const variants = (schema.anyOf ?? schema.oneOf)?.filter(v => v.type !== 'null')
  if (path !== '') fields.push({ path, type: typeWords(schema), needed, words: limitWords(schema) })
  if (depth > DEPTH) return
  if (variants && variants.length > 1 && variants.every(v => v.properties)) {
    variants.forEach((variant, i) => {
      fields.push({
        path: path === '' ? `— either ${i + 1}` : `${path} — either ${i + 1}`,
        type: '',
        needed: true,
        words: '',
      })
      inside(variant, path, depth, fields)
    })
    return
  }
  inside(variants?.length === 1 ? variants[0]! : schema, path, depth, fields)
}

function inside(schema: Schema, path: string, depth: number, fields: Field[]) {
  const required = new Set(schema.required)
  for (const [name, inner] of Object.entries(schema.properties ?? {}))
    walk(inner, path === '' ? name : `${path}.${name}`, required.has(name), depth + 1, fields)
  if (schema.items && (schema.items.properties || schema.items.anyOf))
    inside(schema.items, `${path}[]`, depth + 1, fields)
  const more = schema.additionalProperties
  if (more && typeof more === 'object' && (more.properties || more.items))
    walk(more, `${path}.{name}`, true, depth + 1, fields)
}

function typeWords(schema: Schema): string {
  if (schema.const !== undefined) return JSON.stringify(schema.const)
  if (schema.enum) return schema.enum.map(value => JSON.stringify(value)).join(' | ')
  const variants = schema.anyOf ?? schema.oneOf
  if (variants) return [...new Set(variants.map(typeWords))].join(' | ')
  if (schema.type === 'array')
    return schema.prefixItems
      ? `[${schema.prefixItems.map(typeWords).join(', ')}]`
      : `list of ${schema.items ? typeWords(schema.items) : 'anything'}`
  const type = Array.isArray(schema.type) ? schema.type.join(' | ') : (schema.type ?? 'anything')
  return schema.format ? `${type}, ${schema.format}` : type
}

function limitWords(schema: Schema): string {
  const parts: string[] = []
  const range = (least: number | undefined, most: number | undefined, unit: string) => {
    const isLimit = (n: number | undefined) => n !== undefined && Math.abs(n) < Number.MAX_SAFE_INTEGER
    if (isLimit(least) && isLimit(most)) parts.push(`${least} to ${most}${unit}`)
    else if (isLimit(most)) parts.push(`at most ${most}${unit}`)
    else if (isLimit(least) && least !== 0) parts.push(`at least ${least}${unit}`)
  }
  range(schema.minimum, schema.maximum, '')
  range(schema.minLength, schema.maxLength, ' characters')
  range(schema.minItems, schema.maxItems, ' of them')
  if (schema.description) parts.push(schema.description)
  return parts.join('; ')
}
