import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..')

export type Source = {
  /** Relative to the checkout, with forward slashes. */
  path: string
  text: string
  /** The text without comments and without what stands in quotes (same length, same lines). */
  code: string
  imports: Import[]
}

export type Import = { from: string; typeOnly: boolean }

/** All files of ours that hold code: TypeScript, and the plain scripts that run before anything is installed. */
export function allSources(): Source[] {
  return ['app', 'server', 'db', 'seed', 'tests', 'public', '.'].flatMap(folder => files(folder)).map(read)
}

function files(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap(entry => {
    const path = folder === '.' ? entry.name : `${folder}/${entry.name}`
    if (entry.isDirectory()) return folder === '.' || entry.name.startsWith('.') ? [] : files(path)
    return /\.(ts|tsx|mts|mjs|js)$/.test(entry.name) &&
      entry.name !== 'next-env.d.ts' &&
      !entry.name.startsWith('.')
      ? [path]
      : []
  })
}

function read(path: string): Source {
  const text = readFileSync(join(root, path), 'utf8')
  return { path, text, code: blank(text), imports: importsOf(path, text) }
}

/** Modules that a file names, relative ones as paths from the checkout. */
export function importsOf(path: string, text: string): Import[] {
  const found: Import[] = []
  const add = (from: string, typeOnly: boolean) =>
    found.push({
      from: from.startsWith('.')
        ? relative(root, join(root, dirname(path), from)).replaceAll('\\', '/')
        : from,
      typeOnly,
    })
  for (const [, type, names, from] of text.matchAll(
    /^\s*(?:import|export)\s+(type\s+)?([^'"`;]*?)\bfrom\s+['"]([^'"]+)['"]/gm,
  ))
    add(from!, type !== undefined || /^\{(\s*type\s[\w$ ]+,?)+\s*\}\s*$/.test(names!))
  for (const [, from] of text.matchAll(/^\s*import\s+['"]([^'"]+)['"]/gm)) add(from!, false)
  for (const [, from] of text.matchAll(/\bimport\(\s*['"]([^'"]+)['"]\s*\)/g)) add(from!, false)
  return found
}

/** Blanks comments and the insides of quotes, so that a word in a sentence is not taken for code. */
export function blank(text: string): string {
  return text.replace(
    /\/\*[\s\S]*?\*\/|(?<![:\\])\/\/[^\n]*|'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"/g,
    part => part.replace(/[^\n]/g, ' '),
  )
}

/** `path:line: what` for each line of code that matches. */
export function hits(
  sources: readonly Source[],
  pattern: RegExp,
  what: string,
  where: 'code' | 'text' = 'code',
): string[] {
  return sources.flatMap(source =>
    source[where]
      .split('\n')
      .flatMap((line, i) => (pattern.test(line) ? [`${source.path}:${i + 1}: ${what}`] : [])),
  )
}
