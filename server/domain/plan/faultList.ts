import { type Fault, shown } from './checkFault.ts'

/** More faults than this in one file are counted, not listed. */
const FAULTS_PER_FILE = 200

/**
 * Collects faults file by file. What is beyond a file's limit is only counted, so a file of a million bad cells
 * costs no more memory than its first 200; words that take work are given as a function and made only for what
 * is listed.
 */
export class FaultList {
  readonly #files = new Map<string, { kept: Fault[]; more: number }>()

  add(
    file: string,
    line: number | null,
    column: string | null,
    found: unknown,
    message: string | (() => string),
  ): void {
    let of = this.#files.get(file)
    if (!of) {
      of = { kept: [], more: 0 }
      this.#files.set(file, of)
    }
    if (of.kept.length >= FAULTS_PER_FILE) of.more += 1
    else
      of.kept.push({
        file,
        line,
        column,
        found: shown(found),
        message: typeof message === 'string' ? message : message(),
      })
  }

  /** By file in the order given (others after them), by line in each; a file's own faults before its lines'. */
  list(order: readonly string[]): Fault[] {
    const place = (file: string) => (order.includes(file) ? order.indexOf(file) : order.length)
    const files = [...this.#files].sort(([a], [b]) => place(a) - place(b))
    return files.flatMap(([file, { kept, more }]) => {
      const faults = kept.sort((a, b) => (a.line ?? 0) - (b.line ?? 0))
      if (more > 0)
        faults.push({ file, line: null, column: null, found: '', message: `and ${more} more faults` })
      return faults
    })
  }
}
