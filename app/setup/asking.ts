'use client'
import { useCallback, useEffect, useRef, useState } from 'react'
import type { z } from 'zod'
import { refused } from '../../server/protocol/answers.ts'
import type { Problem } from '../../server/protocol/device.ts'

export type Answered<T> = { ok: true; value: T } | { ok: false; problems: Problem[] }

const trouble = (message: string): { ok: false; problems: Problem[] } => ({
  ok: false,
  problems: [{ path: '', message }],
})

/** Asks the setup's API (a path from `/` on is of the API as a whole); whatever goes wrong comes back as problems in plain words, by field. */
export async function ask<S extends z.ZodType>(
  path: string,
  schema: S,
  body?: unknown,
): Promise<Answered<z.output<S>>> {
  let response: Response
  try {
    response = await fetch(path.startsWith('/') ? `/api/v1${path}` : `/api/v1/setup/${path}`, {
      method: body === undefined ? 'GET' : 'POST',
      ...(body === undefined
        ? {}
        : { headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
    })
  } catch {
    return trouble('The server could not be reached. Nothing was changed as far as is known: look again.')
  }
  const json: unknown = await response.json().catch(() => null)
  if (response.ok) {
    const read = schema.safeParse(json)
    return read.success
      ? { ok: true, value: read.data }
      : trouble('The server answered something this page doesn’t understand: load the page again.')
  }
  if (response.status === 401) return trouble('Your session has ended: sign in again.')
  const no = refused.safeParse(json)
  return no.success
    ? { ok: false, problems: no.data.problems }
    : trouble(`The server answered ${response.status}.`)
}

export type Asked<T> = {
  value: T | null
  problems: Problem[]
  /** Asks again now; resolves when the answer is there. */
  again(): Promise<void>
}

/** Asked when shown, and every `everyMs` while the page is looked at. The last good answer stays. */
export function useAsked<S extends z.ZodType>(path: string, schema: S, everyMs = 0): Asked<z.output<S>> {
  const [value, setValue] = useState<z.output<S> | null>(null)
  const [problems, setProblems] = useState<Problem[]>([])
  const round = useRef(0)
  const again = useCallback(async () => {
    const mine = ++round.current
    const answer = await ask(path, schema)
    // A later question has been asked meanwhile: its answer counts.
    if (mine !== round.current) return
    if (answer.ok) setValue(answer.value)
    setProblems(answer.ok ? [] : answer.problems)
  }, [path, schema])
  useEffect(() => {
    void again()
    if (everyMs === 0) return
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void again()
    }, everyMs)
    return () => clearInterval(timer)
  }, [again, everyMs])
  return { value, problems, again }
}
