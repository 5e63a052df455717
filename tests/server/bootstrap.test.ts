import { spawn } from 'node:child_process'
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { root } from '../house/sources.ts'

const folders: string[] = []
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** What npm, esbuild and next do here: leave what the real ones leave, and a line for each time they are called. */
const fakeNpm = `
import { appendFileSync, mkdirSync, writeFileSync } from 'node:fs'
appendFileSync('calls', 'npm ' + process.argv.slice(2).join(' ') + '\\n')
if (process.env.NPM_FAILS) { console.error('npm error network'); process.exit(1) }
mkdirSync('node_modules/esbuild', { recursive: true })
mkdirSync('node_modules/next/dist/bin', { recursive: true })
writeFileSync('node_modules/esbuild/package.json', '{"type":"module","main":"main.js"}')
writeFileSync('node_modules/esbuild/main.js', \`
import { appendFileSync, copyFileSync, readFileSync } from 'node:fs'
export async function build({ entryPoints }) {
  appendFileSync('calls', 'esbuild ' + Object.keys(entryPoints).join(' ') + '\\\\n')
  for (const [name, file] of Object.entries(entryPoints)) {
    if (readFileSync(file, 'utf8').includes('SYNTAX')) throw new Error('server/main.ts:1:1: that is no program')
    copyFileSync(file, 'dist/' + name + '.js')
  }
}
\`)
writeFileSync('node_modules/next/dist/bin/next', \`
const { appendFileSync, mkdirSync, writeFileSync } = require('node:fs')
appendFileSync('calls', 'next build\\\\n')
mkdirSync('.next', { recursive: true })
writeFileSync('.next/BUILD_ID', 'x')
\`)
`
const main = `
console.log('something a library says')
process.stdout.write(JSON.stringify({ words: process.argv.slice(2), mode: process.env.NODE_ENV }) + '\\n')
if (process.argv.includes('slow')) {
  let asked = 0
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => {
    asked += 1
    if (asked > 1) return
    setTimeout(() => {
      process.stdout.write('asked to stop ' + asked + ' times')
      process.exit(0)
    }, 900)
  })
  setInterval(() => {}, 1_000)
} else if (process.argv.includes('wait')) {
  process.on('SIGTERM', () => process.exit(7))
  setInterval(() => {}, 1_000)
} else process.exitCode = 3
`

function checkout() {
  const folder = mkdtempSync(join(tmpdir(), 'sunup-boot-'))
  folders.push(folder)
  const put = (path: string, text: string) => {
    mkdirSync(dirname(join(folder, path)), { recursive: true })
    writeFileSync(join(folder, path), text)
  }
  cpSync(join(root, 'server/cli/boot'), join(folder, 'server/cli/boot'), { recursive: true })
  for (const name of ['runServer', 'runCommand'])
    cpSync(join(root, `server/cli/${name}.mjs`), join(folder, `server/cli/${name}.mjs`))
  put('package.json', '{"type":"module"}')
  put('package-lock.json', '{}')
  put('fakeNpm.js', fakeNpm)
  put('server/main.ts', main)
  put('server/cli/main.ts', 'console.log("command")')
  put('app/page.tsx', 'page')
  const start = (script: string, words: string[], env: Record<string, string> = {}) => {
    const ours: Record<string, string | undefined> = { ...process.env, NODE_ENV: undefined }
    return spawn(process.execPath, [join(folder, `server/cli/${script}.mjs`), ...words], {
      cwd: folder,
      env: { ...ours, npm_execpath: join(folder, 'fakeNpm.js'), ...env } as unknown as NodeJS.ProcessEnv,
    })
  }
  const run = async (script: string, words: string[] = [], env: Record<string, string> = {}) => {
    writeFileSync(join(folder, 'calls'), '')
    const child = start(script, words, env)
    let [out, err] = ['', '']
    child.stdout.on('data', chunk => {
      out += chunk
    })
    child.stderr.on('data', chunk => {
      err += chunk
    })
    const code = await new Promise(resolve => child.once('close', resolve))
    return {
      code,
      out,
      err,
      calls: readFileSync(join(folder, 'calls'), 'utf8').trim().split('\n').filter(Boolean),
    }
  }
  return { folder, put, start, run }
}

describe('the two commands on a fresh machine', () => {
  it('installs, builds and runs, hands the words and the exit code on, and keeps stdout for the program', async () => {
    const { run } = checkout()
    const first = await run('runServer', ['demo', '--json'])
    expect(first.calls).toEqual([
      'npm ci --no-audit --no-fund --include=dev',
      'esbuild main sunup',
      'next build',
    ])
    expect(first.code).toBe(3)
    expect(JSON.parse(first.out)).toEqual({ words: ['demo', '--json'], mode: 'production' })
  })

  it('does nothing twice: a second start finds everything in place', async () => {
    const { run } = checkout()
    await run('runServer', ['demo'])
    expect((await run('runServer', ['demo'])).calls).toEqual([])
  })

  it('builds again what changed, by content and not by date', async () => {
    const { run, put, folder } = checkout()
    await run('runServer', ['demo'])
    put('app/page.tsx', 'another page')
    expect((await run('runServer', ['demo'])).calls).toEqual(['next build'])
    put('server/cli/main.ts', 'console.log("another command")')
    expect((await run('runServer', ['demo'])).calls).toEqual(['esbuild main sunup'])
    put('server/domain/day.ts', 'shared with the pages')
    expect((await run('runServer', ['demo'])).calls).toEqual(['esbuild main sunup', 'next build'])
    utimesSync(join(folder, 'app/page.tsx'), new Date(), new Date())
    expect((await run('runServer', ['demo'])).calls).toEqual([])
    rmSync(join(folder, '.next'), { recursive: true })
    expect((await run('runServer', ['demo'])).calls).toEqual(['next build'])
  })

  it('installs again for another lockfile', async () => {
    const { run, put } = checkout()
    await run('runServer', ['demo'])
    put('package-lock.json', '{"changed":true}')
    expect((await run('runServer', ['demo'])).calls[0]).toMatch(/^npm ci/)
  })

  it('needs no pages for the command line', async () => {
    const { run } = checkout()
    const command = await run('runCommand', ['plan', 'check'])
    expect(command.calls.at(-1)).toBe('esbuild main sunup')
    expect(command.out).toBe('command\n')
  })

  it('says in a clear line that the packages could not be installed, and shows what npm said', async () => {
    const { run } = checkout()
    const failed = await run('runServer', ['demo'], { NPM_FAILS: 'yes' })
    expect(failed.code).toBe(1)
    expect(failed.out).toBe('')
    expect(failed.err).toContain('npm error network')
    expect(failed.err).toMatch(/The packages could not be installed: .*\n$/)
  })

  it('does not run what could not be built, and tries again next time', async () => {
    const { run, put } = checkout()
    put('server/main.ts', 'SYNTAX')
    const failed = await run('runServer', ['demo'])
    expect([failed.code, failed.out]).toEqual([1, ''])
    expect(failed.err).toContain('that is no program')
    put('server/main.ts', main)
    expect((await run('runServer', ['demo'])).code).toBe(3)
  })

  it('takes over from a build that was killed', async () => {
    const { run, put } = checkout()
    // No process has this id: it is above the highest that Linux gives (2^22, proc(5)).
    put('dist/building', '4194305')
    expect((await run('runServer', ['demo'])).code).toBe(3)
  })

  it('lets one build at a time run on a checkout', async () => {
    const { run, folder } = checkout()
    await run('runServer', ['demo'])
    rmSync(join(folder, 'dist'), { recursive: true })
    const [one, two] = await Promise.all([run('runServer', ['demo']), run('runServer', ['demo'])])
    expect([one.code, two.code]).toEqual([3, 3])
    const calls = readFileSync(join(folder, 'calls'), 'utf8')
    expect(calls.match(/esbuild/g)).toHaveLength(1)
    expect(existsSync(join(folder, 'dist/building'))).toBe(false)
  })

  it('is the server: a signal reaches it, and its exit code is the command’s', async () => {
    const { run, start } = checkout()
    await run('runServer', ['demo'])
    const child = start('runServer', ['demo', 'wait'])
    await new Promise(resolve => child.stdout.once('data', resolve))
    const ended = new Promise(resolve => child.once('close', resolve))
    child.kill('SIGTERM')
    expect(await ended).toBe(7)
  })

  it('ends with the shell that npm put between, though that one hands no signal on', async () => {
    const { run, folder } = checkout()
    await run('runServer', ['demo'])
    const command = `"${process.execPath}" server/cli/runServer.mjs demo wait; true`
    const shell = spawn('sh', ['-c', command], {
      cwd: folder,
      env: { ...process.env, npm_lifecycle_event: 'demo' },
    })
    await new Promise(resolve => shell.stdout.once('data', resolve))
    // The server holds the other end of this pipe: it closes when the server is gone, not when the shell is.
    const gone = new Promise(resolve => shell.stdout.once('close', () => resolve('gone')))
    shell.kill('SIGKILL')
    expect(await gone).toBe('gone')
  })

  it('is asked to stop once by Ctrl-C, which reaches the shell and the server', async () => {
    const { run, folder } = checkout()
    await run('runServer', ['demo'])
    const command = `"${process.execPath}" server/cli/runServer.mjs demo slow; true`
    const env = { ...process.env, npm_lifecycle_event: 'demo' }
    const shell = spawn('sh', ['-c', command], { cwd: folder, env, detached: true })
    let out = ''
    await new Promise(resolve =>
      shell.stdout.on('data', chunk => {
        out += chunk
        resolve(null)
      }),
    )
    const gone = new Promise(resolve => shell.stdout.once('close', resolve))
    process.kill(-shell.pid!, 'SIGINT')
    await gone
    expect(out).toContain('asked to stop 1 times')
  })
})
