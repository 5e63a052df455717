'use client'
import { useState } from 'react'
import type { z } from 'zod'
import type { Problem } from '../../server/protocol/device.ts'
import { type Answered, ask } from './asking.ts'

/** One thing at a time is asked to be done; what came of it in words. */
export function useDoing() {
  const [busy, setBusy] = useState(false)
  const [problems, setProblems] = useState<Problem[]>([])
  const [said, setSaid] = useState('')
  async function run<S extends z.ZodType>(
    path: string,
    schema: S,
    body: unknown,
    words = '',
  ): Promise<Answered<z.output<S>>> {
    setBusy(true)
    setSaid('')
    const answer = await ask(path, schema, body)
    setBusy(false)
    setProblems(answer.ok ? [] : answer.problems)
    setSaid(answer.ok ? words : '')
    return answer
  }
  return { busy, problems, said, run }
}
