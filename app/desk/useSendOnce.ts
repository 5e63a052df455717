'use client'
import { type KeptId, useOnce } from '../live/sendOnce.ts'
import type { SendCommand } from '../live/socket.ts'
import { useDesk } from './deskContext.ts'

export type { KeptId }

/** The desk's own: see live/sendOnce.ts. */
export function useSendOnce(kept?: KeptId): SendCommand {
  return useOnce(useDesk().send, kept)
}
