import { z } from 'zod'
import { code } from '../domain/log/fields.ts'

/** Notices as the desk and programs are told of them. Times are RFC 3339, in day time. */

const instant = z.iso.datetime({ offset: true })

/** On a board: how many it went to, how many said that they read it. Its words are asked for. */
export const boardNotice = z.strictObject({
  position: z.int().min(1),
  at: z.int(),
  by: z.string(),
  toAll: z.boolean(),
  acknowledge: z.boolean(),
  of: z.int().min(0),
  read: z.int().min(0),
})

const noticeOnWire = z.strictObject({
  position: z.int().min(1),
  at: instant,
  /** Display name of who sent it. */
  by: z.string(),
  /** null: every precinct. */
  to: z.array(code).nullable(),
  /** null: its words were erased. */
  text: z.string().nullable(),
  acknowledge: z.boolean(),
  of: z.int().min(0),
  read: z.int().min(0),
})

/** GET /api/v1/days/{day}/notices: latest first, as many as a board shows. */
export const noticesAnswer = z.strictObject({ notices: z.array(noticeOnWire) })
export type NoticesAnswer = z.output<typeof noticesAnswer>

/** GET /api/v1/days/{day}/notices/{position}: who read it and when it was first said, and who didn't yet. */
export const noticeAnswer = z.strictObject({
  ...noticeOnWire.shape,
  readBy: z.array(z.strictObject({ precinct: code, at: instant })),
  unread: z.array(code),
})
export type NoticeAnswer = z.output<typeof noticeAnswer>
