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
  /** `to` absent: every precinct. The entry's position is the notice's number. */
  NoticeSent: {
    version: 1,
    erasable: ['text'],
    body: z.strictObject({
      to: z.array(code).min(1).max(2_000).optional(),
      text: words,
      /** Each precinct is asked to say that it was read. */
      acknowledge: z.boolean(),
    }),
  },
  /** A report that was kept aside stays out of the day: the desk looked at it and left it (aside.ts). */
  AsideLeft: {
    version: 1,
    erasable: [],
    body: z.strictObject({ device: z.string().max(60), number: count.min(1) }),
  },
  NoteAdded: { version: 1, erasable: ['note'], body: z.strictObject({ note: words }) },
  ReportCorrected: {
    version: 1,
    erasable: ['note'],
    body: z.strictObject({ position: count.min(1), note: words }),
  },
} as const
