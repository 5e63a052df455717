import { readFileSync } from 'node:fs'
import { createSecureContext } from 'node:tls'
import { Stop } from './progress.ts'

/**
 * Certificate chain and private key, read and tried out together. They are read at the start: a renewed
 * certificate takes a restart.
 *
 * @throws Stop with one line that names the setting
 */
export function readCertificate(files: { certFile: string; keyFile: string }): { cert: Buffer; key: Buffer } {
  const cert = read('SUNUP_TLS_CERT', files.certFile)
  const key = read('SUNUP_TLS_KEY', files.keyFile)
  try {
    createSecureContext({ cert, key })
  } catch (error) {
    throw new Stop(
      `SUNUP_TLS_CERT and SUNUP_TLS_KEY are no certificate and its key in PEM: ${(error as Error).message}`,
    )
  }
  return { cert, key }
}

function read(setting: string, file: string): Buffer {
  try {
    return readFileSync(file)
  } catch (error) {
    throw new Stop(`${setting}: ${file} can't be read (${(error as NodeJS.ErrnoException).code}).`)
  }
}
