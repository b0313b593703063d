/**
 * Ed25519 keys by WebCrypto, their names, and the messages they sign beside entries. Twin of keys.py.
 * A device's key is made non-extractable: no script can carry it away, though a script on the page could use it.
 */
import { decode, encode } from './base64url'
import { canonicalBytes } from './canonical'

export const KEY_BYTES = 32
export const SIGNATURE_BYTES = 64

// RFC 8410 section 7: the fixed bytes before the 32 of the seed in PKCS #8.
const PKCS8_BEFORE_SEED = [48, 46, 2, 1, 0, 48, 5, 6, 3, 43, 101, 112, 4, 34, 4, 32]

/** A key that can sign, its public half in base64url, and its name. */
export interface SigningKey {
  readonly key: string
  readonly thumbprint: string
  readonly secret: CryptoKey
}

/** A new key that cannot be taken out of this browser. Not pure: the browser makes it by chance. */
export async function generateKey(): Promise<SigningKey> {
  const pair = await crypto.subtle.generateKey('Ed25519', false, ['sign', 'verify'])
  const key = encode(new Uint8Array(await crypto.subtle.exportKey('raw', pair.publicKey)))
  return { key, thumbprint: await thumbprint(key), secret: pair.privateKey }
}

/** The key of a 32-byte seed, as an invitation carries it. */
export async function keyFromSeed(seed: Uint8Array): Promise<SigningKey> {
  const pkcs8 = new Uint8Array([...PKCS8_BEFORE_SEED, ...seed])
  // The public half comes only out of an open key: imported once to read it, once more to keep it shut.
  const open = await crypto.subtle.importKey('pkcs8', pkcs8, 'Ed25519', true, ['sign'])
  const { x } = await crypto.subtle.exportKey('jwk', open)
  if (x === undefined) throw new Error('the browser exported an Ed25519 key without its public half')
  const secret = await crypto.subtle.importKey('pkcs8', pkcs8, 'Ed25519', false, ['sign'])
  return { key: x, thumbprint: await thumbprint(x), secret }
}

/** The 64-byte signature of a message. */
export async function sign(
  key: SigningKey,
  message: Uint8Array<ArrayBuffer>,
): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.sign('Ed25519', key.secret, message))
}

/** Whether the key signed the message. A key or signature of the wrong form did not. */
export async function verify(
  key: string,
  message: Uint8Array<ArrayBuffer>,
  signature: Uint8Array<ArrayBuffer>,
): Promise<boolean> {
  let raw: Uint8Array<ArrayBuffer>
  try {
    raw = decode(key, KEY_BYTES)
  } catch {
    return false
  }
  // What WebCrypto throws from here on says that this browser has no Ed25519: that is no verdict.
  const imported = await crypto.subtle.importKey('raw', raw, 'Ed25519', false, ['verify'])
  return crypto.subtle.verify('Ed25519', imported, signature, message)
}

/** The name of a key: SHA-256 of its JWK's required members (RFC 7638 section 3, RFC 8037 section 2). */
export async function thumbprint(key: string): Promise<string> {
  return encode(await sha256(new TextEncoder().encode(`{"crv":"Ed25519","kty":"OKP","x":"${key}"}`)))
}

export async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
}

/** What the invitation's key signs to let a device in. */
export function enrolmentMessage(said: { device: string; invitation: string; workshop: string }) {
  return message('two-turns enrol', said)
}

/** What a device's key signs to open a session. */
export function sessionMessage(said: { device: string; nonce: string; workshop: string }) {
  return message('two-turns session', said)
}

/** What the workshop key before signs to hand over to a key (edition 1: or an owner's device). */
export function successionMessage(said: { key: string; workshop: string }) {
  return message('two-turns succession', said)
}

/** What the recovery key signs to put a new key in the place of one lost or stolen. */
export function recoveryMessage(said: {
  key: string
  recovery: string
  root: string
  size: number
  workshop: string
}) {
  return message('two-turns recovery', said)
}

/** What the recovery key before signs to let another one take its place. */
export function commitmentMessage(said: { recovery: string; workshop: string }) {
  return message('two-turns commitment', said)
}

/** The first line says what a signature is for: made for one purpose, it means nothing for another. */
function message(purpose: string, said: object): Uint8Array<ArrayBuffer> {
  const opening = new TextEncoder().encode(`${purpose}\n`)
  const rest = canonicalBytes(said)
  const whole = new Uint8Array(opening.length + rest.length)
  whole.set(opening)
  whole.set(rest, opening.length)
  return whole
}
