import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { planCheck } from '../../server/cli/plan.ts'
import { planFileNames, planHash, readPlanFiles, readPlanFolder } from '../../server/cli/planFiles.ts'
import { faultLine } from '../../server/domain/plan/checkFault.ts'

const ellery = join(import.meta.dirname, '../../seed/ellery')
let dir = ''
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'plan-'))
  cpSync(ellery, dir, { recursive: true })
})
afterEach(() => rmSync(dir, { recursive: true }))

const faults = (folder = dir) => {
  const read = readPlanFolder(folder)
  return 'faults' in read ? read.faults.map(faultLine) : []
}
const rewrite = (file: string, edit: (text: string) => string | Buffer) =>
  writeFileSync(join(dir, file), edit(readFileSync(join(dir, file), 'utf8')))
const hashOf = (folder: string) => {
  const read = readPlanFolder(folder)
  if ('faults' in read) throw new Error(read.faults.map(faultLine).join('\n'))
  return planHash(read.plan)
}

describe('Ellery County', () => {
  it('is a good plan of 64 precincts on a coast with two islands', () => {
    const read = readPlanFolder(ellery)
    if ('faults' in read) throw new Error(read.faults.map(faultLine).join('\n'))
    const { plan } = read
    expect(plan.precincts).toHaveLength(64)
    expect(plan.rovers).toHaveLength(6)
    expect(plan.hours).toMatchObject({ open: '06:30', close: '19:30' })
    expect([...new Set(plan.places.map(p => p.area))]).toEqual(
      expect.arrayContaining(['Tern Island', 'Ebb Island']),
    )
    expect(new Set(plan.precincts.map(p => p.place)).size).toBeLessThan(64)
  })

  it('has every precinct fitted out: an accessible station, a ballot box, a pollbook for each station, its seals', () => {
    const read = readPlanFolder(ellery)
    if ('faults' in read) throw new Error('not a plan')
    for (const p of read.plan.precincts) {
      const kinds = read.plan.equipment.filter(e => e.precinct === p.code).map(e => e.kind)
      const has = (kind: string) => kinds.filter(k => k === kind).length
      expect([p.code, has('accessible-station'), has('ballot-box'), has('pollbook')]).toEqual([
        p.code,
        1,
        1,
        p.stations,
      ])
      const containers = read.plan.seals.filter(s => s.precinct === p.code).map(s => s.container)
      expect(containers).toEqual(
        expect.arrayContaining([
          'tabulator-door',
          'memory-device',
          'ballot-box',
          'emergency-slot',
          'return-bag',
        ]),
      )
      expect(p.registered).toBeGreaterThan(p.expected)
    }
  })

  it('has telephone numbers of nobody', () => {
    const text = ['places.csv', 'rovers.csv', 'contacts.csv', 'plan.json']
      .map(f => readFileSync(join(ellery, f), 'utf8'))
      .join('\n')
    const numbers = text.match(/\b\d{3}-\d{4}\b/g) ?? []
    expect(numbers.length).toBeGreaterThan(70)
    expect(numbers.filter(n => !/^555-01\d\d$/.test(n))).toEqual([])
  })
})

describe('reading a folder', () => {
  it('copes with a byte order mark, CRLF, blank lines and quoted cells', () => {
    const before = hashOf(dir)
    for (const file of ['precincts.csv', 'steps.csv', 'profile.csv'])
      rewrite(file, t => `\uFEFF${t.replaceAll('\n', '\r\n')}\r\n\r\n`)
    rewrite('rovers.csv', t => t.replace('ana,Ana', '"ana","Ana"'))
    expect(hashOf(dir)).toBe(before)
  })

  it('names a folder and files that are not there, all at once', () => {
    expect(faults(join(dir, 'nowhere'))).toEqual([
      `${join(dir, 'nowhere')}: a plan folder: there is none here`,
    ])
    for (const file of ['plan.json', 'places.csv', 'contacts.csv']) rmSync(join(dir, file))
    expect(faults()).toEqual(['plan.json: the file is missing', 'places.csv: the file is missing'])
  })

  it('says where a file is no CSV or no UTF-8, without a throw', () => {
    rewrite('seals.csv', t => `${t}gull-point,"open`)
    rewrite('steps.csv', () => Buffer.from([0x63, 0xff, 0xfe]))
    expect(faults()).toEqual([
      'seals.csv:328: found ""open"; a closing quotation mark: the one that opens in this line is never closed',
      'steps.csv:1: found "cÿþ"; text in UTF-8: this looks like Windows-1252 (“ANSI”); export it again as “CSV UTF-8”',
    ])
  })
})

describe('reading files from memory', () => {
  const given = () =>
    planFileNames
      .filter(name => existsSync(join(ellery, name)))
      .map(name => ({ name, bytes: new Uint8Array(readFileSync(join(ellery, name))) }))
  const faultsOf = (files: Parameters<typeof readPlanFiles>[0]) => {
    const read = readPlanFiles(files)
    return 'faults' in read ? read.faults.map(faultLine) : []
  }

  it('gives the same plan as the folder, with a folder before the names or in capitals', () => {
    for (const rename of [
      (n: string) => n,
      (n: string) => `ellery/2026/${n}`,
      (n: string) => `C:\\plans\\${n.toUpperCase()}`,
    ]) {
      const read = readPlanFiles(given().map(f => ({ ...f, name: rename(f.name) })))
      expect('plan' in read && planHash(read.plan)).toBe(hashOf(ellery))
    }
  })

  it('names a file that no plan has, with the nearest that it may have, and one that is there twice', () => {
    const files = given()
    const renamed = files.map(f => (f.name === 'precincts.csv' ? { ...f, name: 'x/precinct.csv' } : f))
    expect(faultsOf(renamed)).toEqual([
      'precincts.csv: the file is missing',
      'x/precinct.csv: no file of a plan; known are plan.json, precincts.csv, places.csv, equipment.csv, seals.csv, rovers.csv, contacts.csv, steps.csv, profile.csv, styles.csv, cards.csv; did you mean “precincts.csv”?',
    ])
    expect(faultsOf([...files, { ...files[1]!, name: 'old/Precincts.csv' }])).toEqual([
      'old/Precincts.csv: precincts.csv is here twice (precincts.csv); leave one of them out',
    ])
  })

  it('leaves aside what systems put into folders and archives', () => {
    const bytes = new Uint8Array([0, 5, 22, 7])
    const left = [
      '.DS_Store',
      '__MACOSX/._plan.json',
      'x/.~lock.steps.csv#',
      '~$precincts.csv',
      'x/Thumbs.db',
    ]
    expect(faultsOf([...given(), ...left.map(name => ({ name, bytes }))])).toEqual([])
  })

  it('counts unknown files beyond twenty', () => {
    const many = Array.from({ length: 25 }, (_, i) => ({ name: `photo${i}.jpg`, bytes: new Uint8Array(3) }))
    const told = faultsOf([...given(), ...many])
    expect(told).toHaveLength(21)
    expect(told).toContain('folder: and 5 more files that no plan has')
  })
})

describe('plan check', () => {
  it('prints a summary with the hash and returns 0', () => {
    const lines: string[] = []
    expect(planCheck(ellery, l => lines.push(l))).toBe(0)
    expect(lines[0]).toBe(
      'Ellery County: General election, practice day (practice), 2026-11-03, America/New_York',
    )
    expect(lines.join('\n')).toContain('64 precincts')
    expect(lines.at(-1)).toBe(`hash ${hashOf(ellery)}`)
  })

  it('prints every fault and returns 1', () => {
    rewrite('plan.json', t =>
      t.replace('"05:15"', '"5:15"').replace('"periodSeconds": 60', '"periodSeconds": 180'),
    )
    rewrite('precincts.csv', t =>
      t.replace('3022,1720', '"3,022",1720').replace('chapel-street-rooms', 'chapel-st-rooms'),
    )
    rewrite('rovers.csv', t => t.replace('ferry-pier', 'pier'))
    rewrite('profile.csv', t => t.replace('0.052', '0.152'))
    rmSync(join(dir, 'seals.csv'))
    writeFileSync(join(dir, 'Seal.csv'), 'precinct,container,number')
    writeFileSync(join(dir, 'notes.txt'), 'These may stay.')
    const lines: string[] = []
    expect(planCheck(dir, l => lines.push(l))).toBe(1)
    expect(lines.join('\n')).toBe(
      `plan.json:9 hours.report: found "5:15"; a time as HH:MM, such as 06:30
plan.json:18 policy.heartbeat.lateAfterSeconds: found "120"; more than periodSeconds (180); it is the standard value
precincts.csv:2 registered: found "3,022"; a whole number without separators: 3022
precincts.csv:3 place: found "chapel-st-rooms"; a code that stands in places.csv; did you mean “chapel-street-rooms”?
seals.csv: the file is missing
rovers.csv:3 base: found "pier"; a code that stands in places.csv
profile.csv:1 share: found "1.1000"; shares that sum to 1 (within 0.005)
Seal.csv: no file of a plan; known are plan.json, precincts.csv, places.csv, equipment.csv, seals.csv, rovers.csv, contacts.csv, steps.csv, profile.csv, styles.csv, cards.csv; did you mean “seals.csv”?
8 faults`,
    )
  })
})
