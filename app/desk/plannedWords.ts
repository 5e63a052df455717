import type { PlanBrief } from '../../server/domain/plan/brief.ts'

const n = (value: number) => value.toLocaleString('en-US')

/** What the plan says of a precinct, in one line; what other precincts of its place share with it is named. */
export function plannedWords(code: string, plan: Pick<PlanBrief, 'precincts'>): string {
  const precinct = plan.precincts.find(p => p.code === code)
  if (!precinct) return ''
  const { registered, expected, ballots, sheets, stations, counted, line, place } = precinct
  const others = plan.precincts.filter(p => p.place === place && p.code !== code).map(p => p.name)
  return [
    registered === null ? 'Vote center for everyone' : `${n(registered)} registered`,
    `${n(expected)} expected`,
    `${n(ballots)} ballots${sheets > 1 ? ` of ${sheets} sheets` : ''}`,
    `${stations} check-in station${stations === 1 ? '' : 's'}`,
    ...(counted === 'centrally' ? ['counted centrally, no tabulator here'] : []),
    ...(line === 'shared' && others.length > 0 ? [`one line with ${others.join(', ')}`] : []),
  ].join(', ')
}

/** Beside a public count where a ballot has several sheets: how many ballots that is; undefined where it has one. */
export function ballotsWords(publicCount: number, sheets: number): string | undefined {
  if (sheets === 1) return undefined
  return `sheets: about ${n(Math.round(publicCount / sheets))} ballots of ${sheets}`
}
