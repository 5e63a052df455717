import { z } from 'zod'
import { code, count, instant, words } from './fields.ts'

/** How a telephone call ended. */
export const outcome = z.enum(['solved', 'watching', 'no-answer', 'needs-rover', 'needs-supervisor'])

/** What the desk did about it. The person is in the entry's origin, by opaque id. */
export const deskKinds = {
  CallTaken: { version: 1, erasable: [], body: z.strictObject({}) },
  CallHandedOver: { version: 1, erasable: [], body: z.strictObject({ to: code.optional() }) },
  CallLogged: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({
      outcome,
      /** `watching`: not before this instant again. */
      until: instant.optional(),
      note: words.optional(),
    }),
  },
  CallDeferred: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({ until: instant, note: words.optional() }),
  },
  NoteAdded: { version: 1, erasable: ['note'], body: z.strictObject({ note: words }) },
  ReportCorrected: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({ position: count.min(1), note: words }),
  },
} as const
