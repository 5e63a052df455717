import { checkPlan } from '../domain/plan/check.ts'
import { faultLine } from '../domain/plan/checkFault.ts'
import { planFromFeed } from '../domain/plan/fromFeed.ts'
import type { FeedOptions } from '../domain/plan/fromFeedShape.ts'
import type { Plan } from '../domain/plan/plan.ts'
import { isTimeZone } from '../domain/plan/zone.ts'
import { assumptionLines, assumptionsPage } from '../vip/assumptionsText.ts'
import { readFeed } from '../vip/readFeed.ts'
import { writePlanFolder } from '../vip/writeFolder.ts'
import { planSummary } from './plan.ts'

/** `sunup plan import --vip FILE …` as it was typed. */
export type VipWords = { file: string; to: string | null; confirm: boolean; options: FeedOptions }

export const VIP_USAGE = `sunup plan import --vip FILE [--to DIR | --confirm] [--locality NAME] [--kind practice|election]
                              [--date YYYY-MM-DD] [--zone IANA]
                              a plan from a Voting Information Project feed (5.x or 6; .xml or .zip): its
                              assumptions; as a folder to edit; or imported as it is`

const valued = ['--vip', '--to', '--locality', '--kind', '--date', '--zone'] as const

/** The words after `plan import`; one line for each thing that is wrong with them. */
export function vipWords(words: readonly string[]): VipWords | { lines: string[] } {
  const given = new Map<string, string>()
  const lines: string[] = []
  for (let i = 0; i < words.length; i++) {
    const word = words[i]!
    const cut = word.indexOf('=')
    const name = cut < 0 ? word : word.slice(0, cut)
    const known = (valued as readonly string[]).includes(name)
    if (!name.startsWith('--'))
      lines.push(`"${word}" is one word too many; a name of two words goes in quotes.`)
    else if (!known && word !== '--confirm')
      lines.push(`${name.slice(0, 60)} is no option here. Known: ${valued.join(', ')}, --confirm.`)
    else if (given.has(name)) lines.push(`${name} is given twice.`)
    else if (!known) given.set(name, 'yes')
    else if (cut >= 0) given.set(name, word.slice(cut + 1))
    else if (i + 1 < words.length && !words[i + 1]!.startsWith('--')) given.set(name, words[++i]!)
    else given.set(name, '')
  }
  for (const name of valued) if (given.get(name)?.trim() === '') lines.push(`${name} needs a value.`)
  const kind = given.get('--kind') ?? 'practice'
  const date = given.get('--date') ?? null
  const zone = given.get('--zone') ?? null
  if (!given.has('--vip')) lines.push('--vip needs the file of a feed.')
  if (kind !== 'practice' && kind !== 'election') lines.push('--kind is practice or election.')
  if (date && !isDate(date)) lines.push('--date is a date as YYYY-MM-DD.')
  if (zone && !isTimeZone(zone))
    lines.push('--zone is a time zone of the IANA database, such as America/New_York.')
  if (given.has('--to') && given.has('--confirm'))
    lines.push('--to writes a folder to look at first, --confirm imports without: choose one.')
  if (lines.length > 0) return { lines: [...new Set(lines)] }
  return {
    file: given.get('--vip')!,
    to: given.get('--to') ?? null,
    confirm: given.has('--confirm'),
    options: {
      kind: kind === 'election' ? 'election' : 'practice',
      locality: given.get('--locality') ?? null,
      date,
      zone,
    },
  }
}

function isDate(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false
  const at = Date.parse(`${text}T00:00:00Z`)
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(text)
}

/**
 * Reads the feed and does what was asked. `keep` imports a plan and returns its exit code. Returns 0 when it is
 * done, 1 where the feed is refused, 3 where assumptions wait to be confirmed and nothing was imported.
 */
export async function planImportVip(
  { file, to, confirm, options }: VipWords,
  say: { out: (line: string) => void; complain: (line: string) => void },
  keep: (plan: Plan) => Promise<number>,
): Promise<number> {
  const refuse = (why: string) => {
    say.complain(`${why}: nothing was imported.`)
    return 1
  }
  const read = await readFeed(file, say.complain)
  if ('refusal' in read) return refuse(read.refusal)
  const made = planFromFeed(read.feed, options)
  if ('refusal' in made) return refuse(`${file}: ${made.refusal}`)
  if (read.passedOver.length > 0) made.leftOut.push({ what: 'files of the zip', names: read.passedOver })
  const checked = checkPlan(made.files)
  const lines = 'plan' in checked ? planSummary(checked.plan) : []
  for (const line of [...lines, ...assumptionLines(made)]) say.out(line)
  say.out('')
  if ('faults' in checked) for (const fault of checked.faults) say.complain(faultLine(fault))

  if (to !== null) {
    const trouble = writePlanFolder(to, made.files, { 'ASSUMPTIONS.md': assumptionsPage(made) })
    if (trouble !== null) return refuse(trouble)
    say.out(`The plan is in ${to}, its assumptions in ASSUMPTIONS.md there. Nothing was imported yet.`)
    say.out(`When they are right: npm run sunup -- plan import ${to}`)
    return 'plan' in checked ? 0 : 1
  }
  if ('faults' in checked)
    return refuse('the plan that this feed makes has the faults above; mend them with --to DIR')
  if (confirm) return keep(checked.plan)
  say.out(`Nothing was imported: ${made.assumptions.length} assumptions wait for somebody who knows.`)
  say.out('To look through and change them: add --to DIR. To import the plan as it is: add --confirm.')
  return 3
}
