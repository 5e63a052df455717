/**
 * Where everything stands in a JSON text (RFC 8259): the line and character of each value by its path, and the
 * first place where the text is no JSON, in words that don't depend on the platform. A name that stands twice in
 * an object is a fault here: whoever reads it takes only the last, and the first is what people see.
 */

/** Line and character, both from 1. */
type JsonPlace = { line: number; character: number }
type JsonTrouble = JsonPlace & { found: string; message: string }
type JsonText =
  | { value: unknown; placeOf: (path: ReadonlyArray<PropertyKey>) => JsonPlace }
  | { trouble: JsonTrouble }

/** A plan is four deep. */
const DEEPEST = 40
const TOKEN = /[^\s,:[\]{}"]+/y
const STRING = /"(?:[^"\\\p{Cc}]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/uy
const SCALAR = /^(?:true|false|null|-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?)$/

class Trouble extends Error {
  readonly at: number
  readonly found: string
  constructor(at: number, found: string, message: string) {
    super(message)
    this.at = at
    this.found = found
  }
}

const keyOf = (path: ReadonlyArray<PropertyKey>) => JSON.stringify(path.map(String))

class Scanner {
  readonly places = new Map<string, number>()
  readonly #text: string
  #at = 0

  constructor(text: string) {
    this.#text = text
  }

  scan(): void {
    this.#space()
    if (this.#at >= this.#text.length) throw new Trouble(0, '', 'an object in braces { }: the file is empty')
    this.#value([])
    this.#space()
    if (this.#at < this.#text.length)
      throw new Trouble(this.#at, this.#here(), 'nothing more after the last brace: take the rest away')
  }

  #space(): void {
    while (/[ \t\n\r]/.test(this.#text[this.#at] ?? '')) this.#at++
  }

  /** What stands here, as people would name it. */
  #here(): string {
    if (this.#text[this.#at] === '"')
      return /^"[^"\n\r]{0,40}"?/.exec(this.#text.slice(this.#at, this.#at + 42))![0]
    TOKEN.lastIndex = this.#at
    return TOKEN.exec(this.#text)?.[0] ?? this.#text[this.#at] ?? ''
  }

  #fail(message: string): never {
    const found = this.#here()
    const ended = this.#at >= this.#text.length
    const why = /^[“”„‟‘’]/.test(found)
      ? 'straight quotation marks ("…"), not curved ones'
      : /^(\/\/|\/\*|#)/.test(found)
        ? 'no comment: JSON has none'
        : ended
          ? `${message}: the file ends too soon`
          : message
    throw new Trouble(this.#at, found, why)
  }

  #value(path: string[]): void {
    this.places.set(keyOf(path), this.#at)
    if (path.length > DEEPEST) throw new Trouble(this.#at, '', `nothing nested deeper than ${DEEPEST}`)
    const first = this.#text[this.#at]
    const word = this.#here()
    if (first === '{') this.#object(path)
    else if (first === '[') this.#list(path)
    else if (first === '"') this.#string('a closing quotation mark in the same line')
    else if (SCALAR.test(word)) this.#at += word.length
    else if (/^[}\],]$/.test(word)) this.#fail('a value here, or take away the comma before')
    else this.#fail('text in quotation marks, a number (with a point, no leading zero), true, false, { or [')
  }

  #string(wanted: string): string {
    STRING.lastIndex = this.#at
    const read = STRING.exec(this.#text)?.[0]
    if (read === undefined) {
      const line = /^[^\n\r]{0,60}/.exec(this.#text.slice(this.#at, this.#at + 60))?.[0] ?? ''
      throw new Trouble(this.#at, line, `${wanted}; a backslash in the text is written twice`)
    }
    this.#at += read.length
    return JSON.parse(read) as string
  }

  #object(path: string[]): void {
    this.#at++
    const names = new Set<string>()
    this.#space()
    if (this.#text[this.#at] === '}') {
      this.#at++
      return
    }
    for (;;) {
      const at = this.#at
      if (this.#text[at] !== '"') this.#fail('a name in quotation marks "…", or take away the comma before')
      const name = this.#string('a closing quotation mark in the same line')
      if (names.has(name)) throw new Trouble(at, name, 'a name that stands once: take one of the two away')
      names.add(name)
      this.#space()
      if (this.#text[this.#at] !== ':') this.#fail('a colon after the name')
      this.#at++
      this.#space()
      this.#value([...path, name])
      if (this.#ends('}')) return
    }
  }

  #list(path: string[]): void {
    this.#at++
    this.#space()
    if (this.#text[this.#at] === ']') {
      this.#at++
      return
    }
    for (let i = 0; ; i++) {
      this.#value([...path, String(i)])
      if (this.#ends(']')) return
    }
  }

  /** Whether the object or list ends here; a comma leads on. */
  #ends(bracket: string): boolean {
    this.#space()
    const sign = this.#text[this.#at]
    if (sign !== ',' && sign !== bracket) this.#fail(`a comma or ${bracket} before this`)
    this.#at++
    if (sign === ',') this.#space()
    return sign === bracket
  }
}

function placeIn(text: string, at: number): JsonPlace {
  const lines = text.slice(0, at).split(/\r\n?|\n/)
  return { line: lines.length, character: lines.at(-1)!.length + 1 }
}

/**
 * The value of a JSON text and the place of everything in it, or the first place where it is no JSON.
 * `placeOf` a path that isn't there gives its nearest parent's place: where a missing field would stand.
 */
export function readJson(text: string): JsonText {
  const scanner = new Scanner(text)
  try {
    scanner.scan()
  } catch (error) {
    if (!(error instanceof Trouble)) throw error
    return { trouble: { ...placeIn(text, error.at), found: error.found, message: error.message } }
  }
  const placeOf = (path: ReadonlyArray<PropertyKey>): JsonPlace => {
    for (let length = path.length; length > 0; length--) {
      const at = scanner.places.get(keyOf(path.slice(0, length)))
      if (at !== undefined) return placeIn(text, at)
    }
    return placeIn(text, scanner.places.get(keyOf([])) ?? 0)
  }
  return { value: JSON.parse(text), placeOf }
}
