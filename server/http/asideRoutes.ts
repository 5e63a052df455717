import { DEVICE_REPLACED, type KeptAside, readAside } from '../domain/log/aside.ts'
import { type Instant, toRfc3339 } from '../domain/time.ts'
import { ASIDE_AT_ONCE, type AsideAnswer } from '../protocol/aside.ts'
import { commandRoles } from '../protocol/roles.ts'
import { refuse } from './answer.ts'
import type { Route } from './routes.ts'

type Kept = KeptAside & {
  device: string
  label: string
  number: number
  content: number
  receivedAt: Instant
}

/** What waits for the desk's answer at one precinct: with the words as they were sent, so for who may accept it. */
export function asideRoutes(deps: {
  known(day: string): Promise<boolean>
  open(day: string, precinct: string, limit: number): Promise<{ open: number; reports: Kept[] }>
}): Route[] {
  return [
    {
      method: 'GET',
      pattern: '/api/v1/days/:day/precincts/:code/aside',
      who: commandRoles.AcceptAside,
      handle: async ({ params: { day = '', code = '' } }) => {
        if (!(await deps.known(day))) return refuse(404, 'There is no such day.', { path: 'day' })
        const { open, reports } = await deps.open(day, code, ASIDE_AT_ONCE)
        return { status: 200, json: { open, reports: reports.map(lineOf) } satisfies AsideAnswer }
      },
    },
  ]
}

function lineOf(kept: Kept): AsideAnswer['reports'][number] {
  const read = readAside(kept)
  return {
    device: kept.device,
    number: kept.number,
    content: kept.content,
    label: kept.label,
    why: kept.problems[0]?.path === DEVICE_REPLACED ? 'replaced' : 'number-reused',
    kind: read.kind,
    body: read.ok ? read.body : {},
    ...(read.ok && read.detail ? { detail: read.detail } : {}),
    occurredAt: kept.dated && toRfc3339(kept.dated.occurredAt),
    receivedAt: toRfc3339(kept.receivedAt),
    problems: read.ok ? [] : [...read.problems],
  }
}
