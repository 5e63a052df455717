import { describe, expect, it } from 'vitest'
import { deviceWords } from '../../app/desk/drawerDevice.tsx'
import { linkWords } from '../../app/desk/foot.tsx'
import { EVERYTHING, pick, type Wish } from '../../app/desk/pick.ts'
import { tailWords } from '../../app/desk/precinctRow.tsx'
import { standingOnPaper } from '../../app/desk/sheet/sheet.tsx'
import { ageWords, clockWords, dateOfField, instantOfField, lengthWords } from '../../app/live/clock.ts'
import { entryWords, kindsWithWords, sourceWords } from '../../app/parts/entryWords.ts'
import { signOf } from '../../app/parts/glyph.tsx'
import { stripWords } from '../../app/parts/stripWords.ts'
import { curveWords } from '../../app/parts/turnoutChart.tsx'
import { kinds } from '../../server/domain/log/kinds.ts'
import { HOUR, MINUTE, SECOND } from '../../server/domain/time.ts'
import { aLine, aReason, aRow, at, BRIEF } from '../support/aBoard.ts'

const names = {
  step: (c: string) => `step ${c}`,
  equipment: (t: string) => `the ${t}`,
  rover: (c: string) => (c === 'R-1' ? 'Ana' : c),
  time: (t: string) => t.slice(11, 16),
}
const say = (kind: string, body: Record<string, unknown>) => entryWords({ kind, body }, names)
const time = (instant: number) => clockWords(instant, BRIEF.timeZone)

describe('entries in words', () => {
  it('has words for every kind in the registry', () => {
    expect(Object.keys(kinds).filter(k => !kindsWithWords.includes(k))).toEqual([])
  })

  it('says what happened, with its figures', () => {
    expect(say('TeamReported', { present: 7, missing: [{ role: 'greeter', howMany: 1 }] })).toBe(
      'Team: 7 present, missing 1 greeter',
    )
    expect(say('OpeningTapeRejected', { tabulator: 'T-01', problems: ['precinct-name', 'not-zero'] })).toBe(
      'Opening tape rejected, the T-01: wrong precinct name, not all zeros',
    )
    expect(say('CountsReported', { checkedIn: 1241, publicCount: { 'T-01': 1229 }, inLine: 0 })).toBe(
      'Counts: 1,241 checked in, 0 in line, public count 1,229 on T-01',
    )
    expect(say('RoverOnTheWay', { errand: 'e-1', rover: 'R-1' })).toBe('Rover Ana on the way')
    expect(say('RoverGaveBack', { errand: 'e-1', rover: 'R-9' })).toBe('Errand of rover R-9 given back')
    expect(say('CallLogged', { outcome: 'watching', until: '2026-11-03T15:10:00Z' })).toBe(
      'Call ended: watching, not before 15:10',
    )
    expect(
      say('HeartbeatReceived', {
        status: { slot: { is: 'open', asOf: 'x' } },
        device: { battery: 14, charging: false },
      }),
    ).toBe('Heartbeat: slot open; battery 14%; not charging')
  })

  it('shows a kind that it does not know by its name', () => {
    expect(say('ComingLater', {})).toBe('ComingLater')
  })

  it('says who spoke and how it came', () => {
    expect(sourceWords({ via: 'caller', spoke: 'precinct lead' })).toBe('precinct lead, by telephone')
    expect(sourceWords({ via: 'system' })).toBe('Sunup')
  })
})

describe('the link in words', () => {
  const state = {
    link: { is: 'connected' as const },
    clock: { dayAt: at(9, 41), wallAt: 1_000_000, speed: 1 },
    pictureOf: at(9, 41) + 7 * SECOND,
    heardAt: 1_000_000,
    refused: null,
  }
  it('is connected, with the picture’s instant and the last sign of life', () => {
    expect(linkWords(state, 1_002_500, BRIEF.timeZone)).toEqual({
      words: 'connected, heard 2 s ago · picture of 09:41:07',
      lost: false,
    })
  })
  it('P5 says since when a link is lost and which picture is kept', () => {
    const lost = { ...state, link: { is: 'lost' as const, since: 1_000_000 + 3 * MINUTE } }
    expect(linkWords(lost, 1_000_000 + 5 * MINUTE, BRIEF.timeZone)).toEqual({
      words: 'link lost since 09:44, picture of 09:41:07 kept, 2 min ago; trying again',
      lost: true,
    })
  })
  it('says why there is no entry', () => {
    expect(linkWords({ ...state, refused: 'The session has ended.' }, 1_000_000, BRIEF.timeZone).words).toBe(
      'no entry: The session has ended., picture of 09:41:07 kept',
    )
  })
})

describe('a row in words', () => {
  it('shows pace with the count’s own time, and a count that is too old by its time alone', () => {
    const row = aRow('E-01')
    expect(tailWords(row, BRIEF, at(9, 41))).toEqual({ figure: '240', under: '+20% at 09:30', old: false })
    expect(tailWords(row, BRIEF, at(9, 30) + (BRIEF.countEveryMinutes + 1) * MINUTE)).toEqual({
      figure: '240',
      under: 'as of 09:30',
      old: true,
    })
  })

  it('shows opening steps before there is a count', () => {
    const row = aRow('E-01', {
      standing: 'setting-up',
      checkedIn: null,
      opening: { done: 3, of: 6, next: null },
    })
    expect(tailWords(row, BRIEF, at(6))).toEqual({ figure: '—', under: '3 of 6 steps', old: false })
  })

  it('P6 never shows a silent precinct by what it last said', () => {
    const row = aRow('E-01', { silentSince: at(9, 20), slotOpen: true, down: ['T-01'] })
    expect(signOf(row, ['T-01'])).toBe('silent')
    expect(standingOnPaper(row, time)).toBe('open when last heard; silent since 09:20')
  })

  it('signs the slot before the tabulator, and only a tabulator as tabulator down', () => {
    expect(signOf(aRow('E-01', { slotOpen: true, down: ['T-01'] }), ['T-01'])).toBe('slot')
    expect(signOf(aRow('E-01', { down: ['T-01'] }), ['T-01'])).toBe('tabulator-down')
    expect(signOf(aRow('E-01', { down: ['A-01'] }), ['T-01'])).toBe('open')
  })

  it('says the strip for those who do not see it', () => {
    const row = aRow('E-01')
    const strip = { ...row.strip, spans: [{ what: 'slot' as const, from: at(9, 12), to: null }] }
    expect(stripWords({ ...row, strip }, BRIEF)).toBe(
      'Day strip: setting up from 05:30; 2 opening steps done; open from 06:30; emergency slot in use 09:12 to now; 240 checked in by 09:30.',
    )
  })

  it('P7 shows a device clock that is a minute or more off, and no smaller skew', () => {
    const device = { id: 'd', battery: 71, charging: true, waiting: 0, skewSeconds: -125 }
    expect(deviceWords(device)).toBe(
      'battery 71%, charging · nothing waiting to be sent · its clock is 2 min behind (times are corrected)',
    )
    expect(deviceWords({ ...device, skewSeconds: 59 })).not.toContain('clock')
  })
})

describe('picking precincts', () => {
  const rows = new Map(
    [
      aRow('E-01', { heardAt: at(9, 40) }),
      aRow('E-02', {
        reasons: [aReason('E-02')],
        heardAt: at(9, 10),
        checkedIn: { is: 90, asOf: at(9) },
        expectedThen: 200,
      }),
      aRow('E-03', {
        standing: 'setting-up',
        checkedIn: null,
        expectedThen: null,
        reasons: [aReason('E-03', { tier: 'stop' })],
        heardAt: null,
      }),
    ].map(r => [r.code, r]),
  )
  const calls = [aLine('E-03'), aLine('E-02')]
  const wish = (w: Partial<Wish>) => pick(BRIEF, rows, calls, { ...EVERYTHING, ...w })
  it('sorts by need, name, standing, pace and last heard', () => {
    expect(wish({})).toEqual(['E-03', 'E-02', 'E-01'])
    expect(wish({ sort: 'name' })).toEqual(['E-03', 'E-01', 'E-02'])
    expect(wish({ sort: 'standing' })[0]).toBe('E-03')
    expect(wish({ sort: 'pace' })).toEqual(['E-02', 'E-01', 'E-03'])
    expect(wish({ sort: 'heard' })).toEqual(['E-03', 'E-02', 'E-01'])
  })
  it('filters by standing, by reasons and by words', () => {
    expect(wish({ standing: 'open', sort: 'name' })).toEqual(['E-01', 'E-02'])
    expect(wish({ onlyReasons: true })).toEqual(['E-03', 'E-02'])
    expect(wish({ search: 'harbor' })).toEqual(['E-01'])
    expect(wish({ search: 'nowhere' })).toEqual([])
  })
})

describe('times in words', () => {
  it('says lengths and ages', () => {
    expect([40 * SECOND, 17 * MINUTE, 3 * HOUR + 11 * MINUTE, 2 * HOUR].map(lengthWords)).toEqual([
      '40 s',
      '17 min',
      '3 h 11 min',
      '2 h',
    ])
    expect(ageWords(30 * SECOND)).toBe('just now')
    expect(lengthWords(-5)).toBe('0 s')
  })
  it('reads a time of the night after the day as the latest that has come, and says its date then', () => {
    const of = (text: string, now: number) => instantOfField(text, BRIEF.date, BRIEF.timeZone, now)
    const dateOf = (text: string, now: number) => dateOfField(text, BRIEF.date, BRIEF.timeZone, now)
    expect(of('00:20', at(24, 40))).toBe(at(24, 20))
    expect(of('23:50', at(24, 40))).toBe(at(23, 50))
    expect(of('00:45', at(24, 40))).toBe(at(24, 45))
    expect(of('00:46', at(24, 40))).toBe(at(0, 46))
    expect(of('00:02', at(23, 58))).toBe(at(24, 2))
    expect(of('20:00', at(9, 41))).toBe(at(20))
    expect(dateOf('00:20', at(24, 40))).toBe('Wed, Nov 4')
    expect(dateOf('23:50', at(24, 40))).toBe('Tue, Nov 3')
    expect(dateOf('00:02', at(23, 58))).toBe('Wed, Nov 4')
    expect(dateOf('09:20', at(9, 41))).toBeNull()
    expect(dateOf('9', at(24, 40))).toBeNull()
  })
  it('reads county times of the day, also on the day the clocks change', () => {
    expect(instantOfField('9:41', BRIEF.date, BRIEF.timeZone, at(12))).toBe(at(9, 41))
    expect(instantOfField('24:00', BRIEF.date, BRIEF.timeZone, at(12))).toBeNull()
    // 2026-11-01, clocks go back at 2:00: 12:00 is 17:00 UTC.
    expect(instantOfField('12:00', '2026-11-01', 'America/New_York', Date.UTC(2026, 10, 1, 20))).toBe(
      Date.UTC(2026, 10, 1, 17),
    )
  })
})

describe('the turnout curve in words', () => {
  it('compares what was counted with what was expected when it was counted', () => {
    expect(curveWords({ checkedIn: 14_929, expectedThen: 15_015 }, 43_870, null)).toBe(
      '14,929 checked in; 15,015 were expected when they were counted (−1%). 43,870 expected by closing.',
    )
    expect(curveWords(null, 790, { total: 800, low80: 640, high80: 980, low95: 560, high95: 1_100 })).toBe(
      'No count yet. 790 expected by closing. Forecast: 800, between 640 and 980 on 80 of 100 such days.',
    )
    expect(curveWords(null, 790, null)).toBe('No count yet. 790 expected by closing.')
    expect(curveWords({ checkedIn: 3, expectedThen: 0 }, 790, null)).not.toContain('%')
  })
})
