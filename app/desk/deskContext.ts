'use client'
import { createContext, useContext } from 'react'
import type { CommandAnswer } from '../../server/protocol/command.ts'
import type { Role } from '../../server/protocol/roles.ts'
import type { SendCommand } from '../live/socket.ts'

export type Panel = 'county' | 'precinct' | 'caller'
/** The form that is open on a line of the call list, or in a precinct's drawer. */
export type OpenForm = { key: string; form: 'log' | 'defer' | 'rover' } | null

export type Desk = {
  day: string
  /** Without a role: nobody sits here, it is a picture of the past. */
  me: { id: string; name: string; role?: Role }
  /** A rover looks on; commands are for desk and supervisor. */
  mayAct: boolean
  selected: string | null
  panel: Panel
  form: OpenForm
  select(code: string | null): void
  open(code: string, panel?: Panel): void
  close(): void
  setForm(form: OpenForm): void
  send: SendCommand
}

const Context = createContext<Desk | null>(null)
export const DeskProvider = Context.Provider

export function useDesk(): Desk {
  const desk = useContext(Context)
  if (!desk) throw new Error('no DeskProvider above')
  return desk
}

/** Why not, in a sentence; null: it was done. */
export function refusalWords(answer: CommandAnswer): string | null {
  if (answer.ok) return null
  const { reason, by, message } = answer.refusal
  if (reason === 'already-taken') return by ? `${by} has it.` : message
  return message
}
