import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { planHash, readPlanFolder } from '../../server/cli/planFiles.ts'
import { withoutWords } from '../../server/outputs/withoutWords.ts'
import { unzipPlan } from '../../server/setup/unzipPlan.ts'
import { uploadedPlan } from '../../server/setup/uploadedPlan.ts'
import { checkoutFolder } from '../../server/where.ts'
import { aZip, type ZipFile } from '../support/aFeed.ts'

const folder = join(checkoutFolder(), 'seed', 'ellery')
const files: ZipFile[] = readdirSync(folder)
  .filter(name => /\.(csv|json)$/.test(name))
  .map(name => ({ name, bytes: readFileSync(join(folder, name)) }))
const hashOfFolder = (() => {
  const read = readPlanFolder(folder)
  if ('faults' in read) throw new Error(JSON.stringify(read.faults))
  return planHash(read.plan)
})()
const upload = (bytes: Uint8Array, name = 'plan.zip') => ({
  name,
  base64: Buffer.from(bytes).toString('base64'),
})
const noise = (n: number) => {
  const bytes = Buffer.alloc(n)
  for (let i = 0, x = 1; i < n; i++) {
    x = (x * 48_271) % 2_147_483_647
    bytes[i] = x & 0xff
  }
  return bytes
}

const workbooks: Array<[kind: string, bytes: Buffer]> = [
  [
    'Office Open XML (ECMA-376)',
    aZip([
      { name: '[Content_Types].xml', bytes: Buffer.from('<Types/>') },
      { name: 'xl/workbook.xml', bytes: Buffer.from('<workbook/>') },
    ]),
  ],
  [
    'OpenDocument 1.3',
    aZip([
      {
        name: 'mimetype',
        bytes: Buffer.from('application/vnd.oasis.opendocument.spreadsheet'),
        says: { method: 0 },
      },
      { name: 'content.xml', bytes: Buffer.from('<office/>') },
    ]),
  ],
  ['a compound file', Buffer.concat([Buffer.from('d0cf11e0a1b11ae1', 'hex'), noise(600)])],
]

describe('an uploaded plan', () => {
  it.each(workbooks)(
    'that is a workbook, %s, is told what would do, whatever it is called',
    async (_, bytes) => {
      const told = (file: string) => ({
        faults: [
          {
            file,
            line: null,
            column: null,
            found: 'a spreadsheet workbook',
            message: 'save each of its sheets as CSV (UTF-8), and upload these',
          },
        ],
      })
      const rest = files.slice(1).map(f => upload(f.bytes, f.name))
      for (const name of ['Plan.xlsx', 'precincts.csv', 'plan.zip'])
        expect(await uploadedPlan([upload(bytes, name), ...rest]), name).toEqual(told(name))
      const zipped = aZip([...files, { name: 'precincts.xlsx', bytes }])
      expect(await uploadedPlan([upload(zipped)])).toEqual(told('plan.zip/precincts.xlsx'))
    },
  )

  it.each([
    ['its files', files.map(f => upload(f.bytes, f.name))],
    ['a zip of its files', [upload(aZip(files))]],
    [
      'a zip of its folder, with what a Mac adds',
      [
        upload(
          aZip([
            { name: 'ellery/', bytes: Buffer.alloc(0) },
            ...files.map(f => ({ ...f, name: `ellery/${f.name}` })),
            { name: '__MACOSX/ellery/._plan.json', bytes: noise(200) },
          ]),
          'Plan.ZIP',
        ),
      ],
    ],
  ])('is the same from %s', async (_, given) => {
    const checked = await uploadedPlan(given)
    expect('plan' in checked && planHash(checked.plan)).toBe(hashOfFolder)
  })

  it('with files beside a zip is refused, and so is a zip in a zip', async () => {
    expect(await uploadedPlan([upload(aZip(files)), upload(files[0]!.bytes, files[0]!.name)])).toEqual({
      faults: [
        {
          file: 'plan.zip',
          line: null,
          column: null,
          found: '2 files',
          message: 'one zip by itself, or the files of the plan',
        },
      ],
    })
    const nested = await uploadedPlan([upload(aZip([{ name: 'inner.zip', bytes: aZip(files) }]))])
    expect('faults' in nested && nested.faults.length).toBeGreaterThan(0)
  })
})

describe('a zip', () => {
  const refused = async (given: readonly ZipFile[]) => {
    const unzipped = await unzipPlan(aZip(given))
    return unzipped.ok ? 'unpacked' : `${unzipped.found}: ${unzipped.message}`
  }

  it('that is empty, cut off on its way or none at all is named in plain words', async () => {
    expect(await unzipPlan(new Uint8Array())).toEqual({
      ok: false,
      found: 'an empty file (0 bytes)',
      message: 'a zip of the plan’s files',
    })
    const cut = aZip(files)
    for (const bytes of [cut.subarray(0, cut.length / 2), new TextEncoder().encode('code,name\n')])
      expect(await unzipPlan(bytes)).toEqual({
        ok: false,
        found: 'no zip file, or only a part of one',
        message: 'a zip that can be read',
      })
  })

  it('that bursts is refused, also where it says that it is small', async () => {
    const zeros = Buffer.alloc(8 * 1024 * 1024)
    expect(await refused([{ name: 'precincts.csv', bytes: zeros }])).toBe(
      'precincts.csv: a file packed at most 100 to 1',
    )
    expect(await refused([{ name: 'precincts.csv', bytes: zeros, says: { size: 100 } }])).not.toBe('unpacked')
  })

  it('of more than the limit unpacked, in all, is refused', async () => {
    // Packs at about 60 to 1: below the ratio, so that only the sum is over.
    const part = Buffer.concat(
      Array.from({ length: 128 }, () => Buffer.concat([noise(1_000), Buffer.alloc(63_536)])),
    )
    const many = Array.from({ length: 7 }, (_, i) => ({ name: `${i}.csv`, bytes: part }))
    expect(await refused(many)).toMatch(/^\d\.csv: at most 48 MB unpacked$/)
  })

  it('of too many files, or encrypted, is refused', async () => {
    const many = Array.from({ length: 41 }, (_, i) => ({
      name: `${i}.csv`,
      bytes: noise(10),
    }))
    expect(await refused(many)).toMatch(/a zip of at most 40 files$/)
    expect(await refused([{ name: 'a.csv', bytes: noise(10), says: { encrypted: true } }])).not.toBe(
      'unpacked',
    )
    expect(await refused(many.slice(1))).toBe('unpacked')
  })

  it('that is cut off or altered anywhere is refused or unpacked, and never throws', async () => {
    const whole = aZip(files)
    let broken = 0
    for (let i = 0; i < 300; i++) {
      const at = (i * 7_919) % whole.length
      const bytes = i % 2 ? whole.subarray(0, at) : Buffer.from(whole)
      if (i % 2 === 0) bytes[at] = bytes[at]! ^ (1 << (i % 8))
      const unzipped = await unzipPlan(bytes)
      if (!unzipped.ok) broken++
      const checked = await uploadedPlan([upload(bytes)])
      expect('plan' in checked || checked.faults.length > 0).toBe(true)
    }
    expect(broken).toBeGreaterThan(150)
  }, 60_000)
})

describe('a refused report for who isn’t to read words', () => {
  it('keeps what it was about and leaves out every text with a space', () => {
    const sent = JSON.stringify({
      number: 3,
      kind: 'HelpRequested',
      body: { about: 'power', what: 'Call Ann Lee', deep: [{ note: 'a b' }] },
    })
    expect(JSON.parse(withoutWords(sent))).toEqual({
      number: 3,
      kind: 'HelpRequested',
      body: { about: 'power', what: '…', deep: [{ note: '…' }] },
    })
    expect(withoutWords('no json')).toBe('…')
  })
})
