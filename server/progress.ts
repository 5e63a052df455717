/** One line for people about what is under way. With `--json`, stdout belongs to the one JSON line, so it goes to stderr. */
export type Progress = (line: string) => void

export function progressTo(stream: { write(text: string): unknown }): Progress {
  return line => void stream.write(`${line}\n`)
}

/** A failure that is told in one line and ends the program with code 1. */
export class Stop extends Error {
  override readonly name = 'Stop'
}
