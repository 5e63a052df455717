import { createSign, generateKeyPairSync, randomBytes } from 'node:crypto'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** A DER value: tag, length, content (X.690, definite lengths). */
function der(tag: number, ...content: Uint8Array[]): Buffer {
  const body = Buffer.concat(content)
  if (body.length < 128) return Buffer.concat([Buffer.from([tag, body.length]), body])
  const length = Buffer.from(body.length.toString(16).padStart(4, '0'), 'hex')
  return Buffer.concat([Buffer.from([tag, 0x82]), length, body])
}
const sequence = (...parts: Uint8Array[]) => der(0x30, ...parts)
const oid = (hex: string) => der(0x06, Buffer.from(hex, 'hex'))
const utc = (at: number) =>
  der(0x17, Buffer.from(`${new Date(at).toISOString().slice(2, 19).replace(/[-:T]/g, '')}Z`))

/** Writes `cert.pem` and `key.pem` for localhost and 127.0.0.1, good for a day: X.509 v3 (RFC 5280), ECDSA on P-256. */
export function selfSigned(folder: string): { certFile: string; keyFile: string; cert: string } {
  const { privateKey, publicKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' })
  const algorithm = sequence(oid('2a8648ce3d040302'))
  const name = sequence(der(0x31, sequence(oid('550403'), der(0x0c, Buffer.from('localhost')))))
  const names = sequence(der(0x82, Buffer.from('localhost')), der(0x87, Buffer.from([127, 0, 0, 1])))
  const isCa = sequence(der(0x01, Buffer.from([0xff])))
  const extensions = sequence(
    sequence(oid('551d11'), der(0x04, names)),
    sequence(oid('551d13'), der(0x04, isCa)),
  )
  const serial = randomBytes(8)
  serial[0] = 1
  const toSign = sequence(
    der(0xa0, der(0x02, Buffer.from([2]))),
    der(0x02, serial),
    algorithm,
    name,
    sequence(utc(Date.now() - 3_600_000), utc(Date.now() + 86_400_000)),
    name,
    publicKey.export({ type: 'spki', format: 'der' }),
    der(0xa3, extensions),
  )
  const signature = createSign('sha256').update(toSign).sign(privateKey)
  const whole = sequence(toSign, algorithm, der(0x03, Buffer.from([0]), signature))
  const lines = whole.toString('base64').match(/.{1,64}/g)!
  const cert = `-----BEGIN CERTIFICATE-----\n${lines.join('\n')}\n-----END CERTIFICATE-----\n`
  const [certFile, keyFile] = [join(folder, 'cert.pem'), join(folder, 'key.pem')]
  writeFileSync(certFile, cert)
  writeFileSync(keyFile, privateKey.export({ type: 'pkcs8', format: 'pem' }), { mode: 0o600 })
  return { certFile, keyFile, cert }
}
