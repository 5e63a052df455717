'use client'
import { useRef } from 'react'
import { freshId, type SendCommand } from './socket.ts'

/** The id of a command that no answer came to yet. */
export type KeptId = { current: string | null }

/**
 * Sends a form's command. While no answer came, the next try has the id of the first, so that what the server
 * did write is not written twice; any answer ends that. `kept` outlives the form where the form's draft does.
 */
export function useOnce(send: SendCommand, kept?: KeptId): SendCommand {
  const own = useRef<string | null>(null)
  const id = kept ?? own
  return async (kind, body) => {
    id.current ??= freshId()
    const answer = await send(kind, body, id.current)
    if (answer.ok || answer.refusal.reason !== 'unavailable') {
      id.current = null
      return answer
    }
    const message = `${answer.refusal.message} Send it again as it stands: it is never recorded twice.`
    return { ...answer, refusal: { ...answer.refusal, message } }
  }
}
