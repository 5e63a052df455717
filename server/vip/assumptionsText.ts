import type { PlanFromFeed } from '../domain/plan/fromFeed.ts'

/** Names in ASSUMPTIONS.md before the rest is only counted, and in a terminal. */
const IN_FILE = 200
const IN_TERMINAL = 4

function some(names: readonly string[], most: number): string {
  if (names.length <= most) return names.join('; ')
  return `${names.slice(0, most).join('; ')}; and ${(names.length - most).toLocaleString('en-US')} more`
}

const touching = (n: number) => `${n.toLocaleString('en-US')} ${n === 1 ? 'precinct' : 'precincts'}`

/** Lines for a terminal: every assumption with what it touches and where it is changed, and what was left out. */
export function assumptionLines({ about, assumptions, leftOut }: PlanFromFeed): string[] {
  return [
    ...about,
    '',
    `Assumed, because the feed doesn't say it or says it in more than one way (${assumptions.length}):`,
    ...assumptions.flatMap(({ about: what, what: how, where, precincts, names }) => [
      `- ${what} (${touching(precincts)}): ${how}. Change it in ${where}.`,
      ...(names.length > 0 ? [`    ${some(names, IN_TERMINAL)}`] : []),
    ]),
    '',
    leftOut.length === 0 ? 'Nothing of the locality was left out.' : 'Left out:',
    ...leftOut.map(({ what, names }) => `- ${what} (${names.length}): ${some(names, IN_TERMINAL)}`),
  ]
}

const cell = (text: string) => text.replaceAll('|', '\\|').replaceAll('<', '&lt;')

/** ASSUMPTIONS.md of a made plan folder. */
export function assumptionsPage({ about, assumptions, leftOut }: PlanFromFeed): string {
  const lines = [
    '# What was assumed',
    '',
    'This plan was made from a Voting Information Project feed. A feed says where and when people vote, not how a county runs its day: everything below was assumed by the rule that stands beside it, and none of it is anybody’s law or practice. Go through it, change the files, check them with `npm run sunup -- plan check DIR`, and import them with `npm run sunup -- plan import DIR`. Follow your state’s law, your county’s procedures and your counsel.',
    '',
    ...about.map(line => `- ${cell(line)}`),
    '',
    '| about | precincts | assumed | change it in |',
    '|---|---|---|---|',
    ...assumptions.map(
      ({ about: what, precincts, what: how, where }) =>
        `| ${cell(what)} | ${precincts} | ${cell(how)} | ${cell(where)} |`,
    ),
  ]
  const named = assumptions.filter(a => a.names.length > 0)
  if (named.length > 0) {
    lines.push('', '## Which precincts', '')
    for (const { about: what, names } of named)
      lines.push(`- **${cell(what)}**: ${cell(some(names, IN_FILE))}`)
  }
  lines.push('', '## Left out of the plan', '')
  if (leftOut.length === 0) lines.push('Nothing of the locality.')
  for (const { what, names } of leftOut)
    lines.push(`- **${cell(what)}** (${names.length}): ${cell(some(names, IN_FILE))}`)
  return `${lines.join('\n')}\n`
}
