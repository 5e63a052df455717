import { fromBuffer } from 'yauzl'

/** The files of a plan's zip; each limit with its reason. */
const ZIP_LIMITS = {
  /** A plan has a dozen files; a folder's own notes may lie beside them. */
  files: 40,
  /** Unpacked, all together: a plan of 5,000 precincts has 6 MB. */
  bytes: 48 * 1024 * 1024,
  /** Unpacked to packed, of one file: tables of a plan pack at 5 to 20, what packs better is made to burst. */
  ratio: 100,
  /** Below this no ratio is looked at: a table of zeros is small anyway. */
  ratioFrom: 256 * 1024,
} as const

export type Unzipped =
  | { ok: true; files: Array<{ name: string; bytes: Uint8Array }> }
  | { ok: false; found: string; message: string }

/**
 * Unpacks one zip in memory. Folders are left out, and what Mac computers add beside the files. What an entry says
 * of its size is not believed: unpacking stops at the first byte over a limit. Nothing throws, whatever the bytes are.
 */
export function unzipPlan(zip: Uint8Array): Promise<Unzipped> {
  if (zip.byteLength === 0)
    return Promise.resolve({
      ok: false,
      found: 'an empty file (0 bytes)',
      message: 'a zip of the plan’s files',
    })
  return new Promise(resolve => {
    const fail = (found: string, message: string) => resolve({ ok: false, found, message })
    const broken = (error: Error | null) => fail(inWords(error), 'a zip that can be read')
    fromBuffer(
      Buffer.from(zip.buffer, zip.byteOffset, zip.byteLength),
      { lazyEntries: true, validateEntrySizes: true, decodeStrings: true },
      (error, opened) => {
        if (error || !opened) return broken(error)
        const files: Array<{ name: string; bytes: Uint8Array }> = []
        let total = 0
        opened.on('error', broken)
        opened.on('end', () => resolve({ ok: true, files }))
        opened.on('entry', entry => {
          const name = entry.fileName
          if (name.endsWith('/') || /(^|\/)(__MACOSX\/|\._|\.DS_Store$)/.test(name)) return opened.readEntry()
          if (files.length >= ZIP_LIMITS.files)
            return fail(name, `a zip of at most ${ZIP_LIMITS.files} files`)
          if (entry.generalPurposeBitFlag & 1) return fail(name, 'a file that is not encrypted')
          opened.openReadStream(entry, (wrong, stream) => {
            if (wrong || !stream) return broken(wrong)
            const chunks: Buffer[] = []
            let bytes = 0
            stream.on('error', broken)
            stream.on('data', (chunk: Buffer) => {
              bytes += chunk.length
              total += chunk.length
              const bursts =
                bytes > ZIP_LIMITS.ratioFrom && bytes > ZIP_LIMITS.ratio * Math.max(1, entry.compressedSize)
              if (total <= ZIP_LIMITS.bytes && !bursts) return void chunks.push(chunk)
              stream.destroy()
              fail(
                name,
                bursts
                  ? `a file packed at most ${ZIP_LIMITS.ratio} to 1`
                  : `at most ${ZIP_LIMITS.bytes / 1024 / 1024} MB unpacked`,
              )
            })
            stream.on('end', () => {
              files.push({ name, bytes: Buffer.concat(chunks) })
              opened.readEntry()
            })
          })
        })
        opened.readEntry()
      },
    )
  })
}

/** The library's words for what people meet: a file that isn't a zip, or was cut off on its way; else its own. */
function inWords(error: Error | null): string {
  const message = error?.message ?? ''
  return message.startsWith('End of central directory record signature not found')
    ? 'no zip file, or only a part of one'
    : message.slice(0, 120)
}
