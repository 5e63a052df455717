import { z } from 'zod'

/** JSON Schema (draft 2020-12, the dialect of OpenAPI 3.1) of what is sent, or of what is answered. */
export function schemaOf(schema: z.ZodType, io: 'input' | 'output'): Record<string, unknown> {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io, unrepresentable: 'any' }) as Record<
    string,
    unknown
  >
  return rest
}

/** Stands at the head of both specifications. */
export const caution =
  'Sunup is an operational picture of a county’s election day. It never touches a vote, never connects to voting equipment and never shows results; every count in it was typed by a person. Follow your state’s law, your county’s procedures and counsel.'
