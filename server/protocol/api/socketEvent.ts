import type { z } from 'zod'

/** One event on a socket. `from` says whose message it is; what is asked is answered by the acknowledgement. */
export type SocketEvent = {
  namespace: '/precinct' | '/board'
  event: string
  from: 'client' | 'server'
  title: string
  message: z.ZodType
  answer?: z.ZodType
  example: unknown
  answerExample?: unknown
  /** What else may be answered. The tests ask these of a real server one after another, after the example. */
  more?: readonly Exchange[]
}

export type Exchange = {
  name: string
  title: string
  message: unknown
  answer: unknown
  /** What has to be so that it is answered like this, where it isn't by what was asked before. */
  when?: 'flooded' | 'closed'
}
