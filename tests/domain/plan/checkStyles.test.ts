import { describe, expect, it } from 'vitest'
import { indexOf } from '../../../server/domain/plan/brief.ts'
import { checkPlan } from '../../../server/domain/plan/check.ts'
import { faultsOf, folder, goodJson, goodStyles, withJson } from './checkSupport.ts'

const withStyles = (edit: (text: string) => string) => {
  const text = edit(goodStyles)
  if (text === goodStyles) throw new Error('the edit changed nothing')
  return faultsOf(folder(goodJson, { styles: text }))
}

describe('ballot styles', () => {
  it('may be left out, and are then not part of the plan', () => {
    const checked = checkPlan(folder())
    if (!('plan' in checked)) throw new Error('not a plan')
    expect(Object.hasOwn(checked.plan, 'styles')).toBe(false)
    expect(indexOf(checked.plan, 'day').precincts.get('gull-point')?.styles).toEqual([])
  })

  it('are looked up by precinct, in the plan’s order', () => {
    const checked = checkPlan(folder(goodJson, { styles: goodStyles }))
    if (!('plan' in checked)) throw new Error(faultsOf(folder(goodJson, { styles: goodStyles })).join('\n'))
    expect(indexOf(checked.plan, 'day').precincts.get('gull-point')?.styles).toEqual([
      { precinct: 'gull-point', style: 'A', name: 'Ballot A', share: 0.7, ballots: 560 },
      { precinct: 'gull-point', style: 'B', name: 'Ballot B', share: 0.3, ballots: 240 },
    ])
  })

  it('have shares that sum to at most 1 a precinct: refused once, at the line that goes beyond', () => {
    expect(withStyles(t => t.replace('0.3', '0.31'))).toEqual([
      'styles.csv:3 share: found "0.31"; shares of gull-point that sum to at most 1, not 1.0100',
    ])
    expect(withStyles(t => `${t}\nnorth-light,B,Ballot B,0.2,10\nnorth-light,C,Ballot C,0.2,10`)).toEqual([
      'styles.csv:5 share: found "0.2"; shares of north-light that sum to at most 1, not 1.2000',
    ])
  })

  it('may leave a rest of the voters, and may be over by rounding', () => {
    expect(withStyles(t => t.replace('0.3', '0.1'))).toEqual([])
    expect(withStyles(t => t.replace('0.3', '0.3009'))).toEqual([])
    expect(withStyles(t => t.replace('0.3', '0.3011'))).toHaveLength(1)
  })

  it('stand once at a precinct that there is, with whole ballots and a share from 0 to 1', () => {
    expect(withStyles(t => t.replace(',B,', ',A,'))).toEqual([
      'styles.csv:3 style: found "gull-point A"; stands already in line 2; once is enough',
    ])
    expect(withStyles(t => t.replace('north-light', 'north-lihgt'))).toEqual([
      'styles.csv:4 precinct: found "north-lihgt"; a code that stands in precincts.csv; did you mean “north-light”?',
    ])
    expect(withStyles(t => t.replace('560', '560.5'))).toEqual([
      'styles.csv:2 ballots: found "560.5"; a whole number, such as 12',
    ])
    expect(withStyles(t => t.replace('240', '-1'))).toEqual(['styles.csv:3 ballots: found "-1"; at least 0'])
    expect(withStyles(t => t.replace('0.3', '-0.3'))).toEqual([
      'styles.csv:3 share: found "-0.3"; at least 0',
    ])
    expect(withStyles(t => t.replace(',1,', ',1.2,'))).toContain('styles.csv:4 share: found "1.2"; at most 1')
  })

  it('are at most 200,000 rows', () => {
    const many = Array.from({ length: 200_001 }, (_, i) => `gull-point,S${i},Style,0,1`)
    expect(withStyles(t => `${t.split('\n')[0]}\n${many.join('\n')}`)).toEqual([
      expect.stringMatching(
        /^styles\.csv:200002: .*at most 200,000 rows; take this one and what follows away$/,
      ),
    ])
  })
})

describe('the depot', () => {
  it('is a place of places.csv, and need not be named', () => {
    expect(withJson({})).toEqual([])
    const checked = checkPlan(folder({ ...goodJson, depot: 'grange' }))
    if (!('plan' in checked)) throw new Error('not a plan')
    expect(indexOf(checked.plan, 'day').depot?.name).toBe('North Light Grange')
    expect(withJson({ depot: 'granje' })).toEqual([
      'plan.json:1 depot: found "granje"; a code that stands in places.csv; did you mean “grange”?',
    ])
    expect(withJson({ depot: 7 })).toEqual(['plan.json:1 depot: found "7"; text in quotation marks'])
  })

  it('stands at its own line, and isn’t called unknown while places.csv could not be read', () => {
    const text = JSON.stringify({ ...goodJson, depot: 'town-hall' }, null, 2)
    expect(faultsOf(folder(text))).toEqual([
      'plan.json:15 depot: found "town-hall"; a code that stands in places.csv',
    ])
    expect(faultsOf(folder(text, { places: null })).filter(f => f.includes('depot'))).toEqual([])
  })
})

describe('thresholds with two bounds', () => {
  it.each([
    ['behindOpeningEndMinutes', 13, 'behindOpeningMinutes (12)'],
    ['longLineEndMinutes', 31, 'longLineMinutes (30)'],
    ['lateOpeningEndChance', 0.51, 'lateOpeningChance (0.5)'],
    ['lineGrowingEndChance', 0.51, 'lineGrowingChance (0.5)'],
    ['ballotsEndChance', 0.11, 'ballotsChance (0.1)'],
  ])('%s may not lie above where the reason begins', (end, value, begin) => {
    expect(withJson({ policy: { [end]: value } })).toEqual([
      `plan.json:1 policy.${end}: found "${value}"; at most ${begin}`,
    ])
  })

  it('that only the standard value contradicts are told as that', () => {
    expect(withJson({ policy: { ballotsChance: 0.02 } })).toEqual([
      'plan.json:1 policy.ballotsEndChance: found "0.05"; at most ballotsChance (0.02); it is the standard value',
    ])
  })
})

describe('steps', () => {
  it('take longer than nothing', () => {
    const steps = (median: string, p90: string) =>
      faultsOf(
        folder(goodJson, {
          steps: `code,phase,title,after,medianMinutes,p90Minutes\nteam,opening,Team,,${median},${p90}\npack,closing,Packed,,5,9`,
        }),
      )
    expect(steps('10', '18')).toEqual([])
    expect(steps('-10', '18')).toEqual(['steps.csv:2 medianMinutes: found "-10"; more than 0'])
    expect(steps('0', '0')).toEqual([
      'steps.csv:2 medianMinutes: found "0"; more than 0',
      'steps.csv:2 p90Minutes: found "0"; more than 0',
    ])
  })
})
