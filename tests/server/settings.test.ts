import { describe, expect, it } from 'vitest'
import { readSettings } from '../../server/settings.ts'
import { settingsTable } from '../../server/settingsTable.ts'

function linesOf(env: Record<string, string>, argv = ['start']): string[] {
  const outcome = readSettings(env, argv)
  return outcome.ok ? [] : outcome.lines
}

function settingsOf(env: Record<string, string>, argv = ['start']) {
  const outcome = readSettings(env, argv)
  if (!outcome.ok) throw new Error(outcome.lines.join('\n'))
  return outcome.settings
}

describe('settings', () => {
  it('has a standard value for everything that must have one', () => {
    expect(settingsOf({})).toEqual({
      mode: 'start',
      port: 4180,
      host: '127.0.0.1',
      databaseUrl: null,
      dataFolder: '.sunup',
      backups: { folder: '.sunup/backups', everyMs: 300_000 },
      tls: null,
      publicUrl: null,
      trustedProxies: 0,
      logLevel: 'info',
      day: null,
      deviceRate: { perSecond: 20, burst: 5_000 },
      enrolRate: { perAddressPerMinute: 10, inAllPerMinute: 60 },
      demo: { json: false, speed: 30, from: null, seed: 1, planFolder: null },
    })
  })

  it('takes automatic backups elsewhere, oftener, or not at all', () => {
    const elsewhere = {
      SUNUP_DATA: '/var/lib/sunup',
      SUNUP_BACKUPS: '/mnt/other',
      SUNUP_BACKUP_MINUTES: '0.5',
    }
    expect(settingsOf(elsewhere).backups).toEqual({ folder: '/mnt/other', everyMs: 30_000 })
    expect(settingsOf({ SUNUP_DATA: '/var/lib/sunup', SUNUP_BACKUPS: 'copies' }).backups?.folder).toBe(
      '/var/lib/sunup/copies',
    )
    expect(settingsOf({ SUNUP_BACKUPS: 'off' }).backups).toBeNull()
  })

  it('states a purpose and a reason for each setting, each once', () => {
    expect(new Set(settingsTable.map(line => line.name)).size).toBe(settingsTable.length)
    for (const line of settingsTable) {
      expect(line.what.length, line.name).toBeGreaterThan(5)
      expect(line.why.length, line.name).toBeGreaterThan(5)
    }
  })

  it('reads the environment', () => {
    const settings = settingsOf({
      PORT: '0',
      HOST: '0.0.0.0',
      DATABASE_URL: 'postgres://sunup:pw@db.internal/sunup',
      SUNUP_DATA: '/var/lib/sunup',
      SUNUP_TLS_CERT: 'a.pem',
      SUNUP_TLS_KEY: 'b.pem',
      SUNUP_PUBLIC_URL: 'https://Board.Example.gov/',
      SUNUP_TRUST_PROXY: '2',
      SUNUP_LOG: 'debug',
      SUNUP_DAY: 'ellery-2026',
      HOME: '/root',
    })
    expect(settings).toMatchObject({
      port: 0,
      host: '0.0.0.0',
      databaseUrl: 'postgres://sunup:pw@db.internal/sunup',
      dataFolder: '/var/lib/sunup',
      tls: { certFile: 'a.pem', keyFile: 'b.pem' },
      publicUrl: 'https://board.example.gov',
      trustedProxies: 2,
      logLevel: 'debug',
      day: 'ellery-2026',
    })
  })

  it('reads the demo flags with a space or an equals sign', () => {
    const argv = ['demo', '--json', '--speed=2.5', '--from', '05:45', '--seed', '7', '--plan=plans/mine']
    expect(settingsOf({}, argv).demo).toEqual({
      json: true,
      speed: 2.5,
      from: 5 * 60 + 45,
      seed: 7,
      planFolder: 'plans/mine',
    })
  })

  it('keeps the demo on this machine, whatever HOST says', () => {
    expect(settingsOf({ HOST: '0.0.0.0' }, ['demo']).host).toBe('127.0.0.1')
  })

  it('takes an empty variable as not set', () => {
    expect(settingsOf({ PORT: '', SUNUP_TLS_CERT: '' })).toMatchObject({ port: 4180, tls: null })
  })

  it.each([
    [{ PORT: '70000' }, 'PORT is above 65535.'],
    [{ PORT: 'http' }, 'PORT is not a whole number.'],
    [{ PORT: '80.5' }, 'PORT is not a whole number.'],
    [{ HOST: 'a b' }, 'HOST is not a host name or an address.'],
    [{ DATABASE_URL: 'mysql://x' }, 'DATABASE_URL does not start with postgres://.'],
    [{ SUNUP_PUBLIC_URL: 'board' }, 'SUNUP_PUBLIC_URL is not an address such as https://board.example.gov.'],
    [
      { SUNUP_PUBLIC_URL: 'ftp://board.example.gov' },
      'SUNUP_PUBLIC_URL is not an address such as https://board.example.gov.',
    ],
    [
      { SUNUP_PUBLIC_URL: 'https://board.example.gov/x' },
      'SUNUP_PUBLIC_URL must end after the host name (no path, no password).',
    ],
    [{ SUNUP_TRUST_PROXY: 'yes' }, 'SUNUP_TRUST_PROXY is not a whole number.'],
    [{ SUNUP_LOG: 'loud' }, 'SUNUP_LOG is none of fatal, error, warn, info, debug, trace, silent.'],
    [{ SUNUP_DAY: 'a/b' }, 'SUNUP_DAY is not the name of a day.'],
    [{ SUNUP_DEVICE_RATE: '0' }, 'SUNUP_DEVICE_RATE is below 1.'],
    [{ SUNUP_TLS_CERT: 'a.pem' }, 'SUNUP_TLS_KEY is missing: certificate and key go together.'],
    [{ SUNUP_TLS_KEY: 'b.pem' }, 'SUNUP_TLS_CERT is missing: certificate and key go together.'],
  ])('refuses %o by name', (env, line) => {
    expect(linesOf(env as unknown as Record<string, string>)).toEqual([line])
  })

  it.each([
    [['demo', '--speed', '0'], '--speed is below 0.1.'],
    [['demo', '--speed', 'fast'], '--speed is not a number.'],
    [['demo', '--speed'], '--speed needs a value.'],
    [['demo', '--speed', '--json'], '--speed needs a value.'],
    [['demo', '--from', '24:00'], '--from is not a time of day such as 05:15.'],
    [['demo', '--seed', '-1'], '--seed is not a whole number.'],
    [['demo', '--json=no'], '--json takes no value.'],
    [['demo', '--seed', '1', '--seed', '2'], '--seed is given twice.'],
    [['demo', 'again'], '"again" is one word too many.'],
    [['start', '--speed', '2'], '--speed belongs to the demo; a real day is not steered.'],
    [['stop'], '"stop" is not something to run: say demo or start.'],
    [[], 'Nothing is not something to run: say demo or start.'],
  ])('refuses the words %o', (argv, line) => {
    expect(linesOf({}, argv)[0]).toBe(line)
  })

  it('names an unknown flag and an unknown variable of its own, and leaves others alone', () => {
    expect(linesOf({}, ['demo', '--sped', '2'])[0]).toMatch(
      /^--sped is not a setting\. Known: --json, --speed/,
    )
    expect(linesOf({ SUNUP_DTAA: 'x' })).toEqual([
      expect.stringMatching(/^SUNUP_DTAA is not a setting\. Known: PORT/),
    ])
    expect(linesOf({ NODE_ENV: 'x', PGHOST: 'x' })).toEqual([])
  })

  it('says everything that is wrong at once and never repeats a database password', () => {
    const lines = linesOf({ PORT: 'x', SUNUP_LOG: 'y', DATABASE_URL: 'mysql://me:hunter2@db' })
    expect(lines).toHaveLength(3)
    expect(lines.join()).not.toContain('hunter2')
  })
})
