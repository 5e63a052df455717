const EVERY_MS = 2_000

/** Tells on stderr how far a long work has come, every two seconds. `add` is called with each part of it. */
export function everySoOften(words: (sum: number) => string): (part: number) => void {
  let sum = 0
  let at = performance.now()
  return part => {
    sum += part
    if (performance.now() - at < EVERY_MS) return
    at = performance.now()
    process.stderr.write(`${words(sum)}\n`)
  }
}
