/** Base64url without padding (RFC 4648 section 5), one text for one value; and hex. Twin of base64url.py. */
import { LedgerError } from './errors'
import * as words from '../words/en/ledger/base64url'
import { t } from '../words/message'

export function encode(bytes: Uint8Array): string {
  return encodePadded(bytes).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')
}

/** Plain base64 with padding, as checkpoints and proofs have it. */
export function encodePadded(bytes: Uint8Array): string {
  // A spread of all bytes at once overflows the stack on a large value.
  let binary = ''
  for (const byte of bytes) binary += String.fromCharCode(byte)
  return btoa(binary)
}

/**
 * The bytes a text stands for. `atob` takes several texts for the same bytes, so that a signature could be
 * rewritten and still verify: here only the text `encode` writes is taken.
 *
 * @throws {LedgerError} `bad-key` if it is another, or there are not `size` bytes.
 */
export function decode(text: string, size?: number): Uint8Array<ArrayBuffer> {
  const bytes = lenient(text.replaceAll('-', '+').replaceAll('_', '/'))
  if (encode(bytes) !== text || (size !== undefined && bytes.length !== size)) {
    throw refused(text, size === undefined ? 'base64url' : t(words.base64urlOfSize, { size }))
  }
  return bytes
}

/**
 * The bytes of padded base64.
 *
 * @throws {LedgerError} `bad-key` if the text is not what `encodePadded` writes.
 */
export function decodePadded(text: string): Uint8Array<ArrayBuffer> {
  const bytes = lenient(text)
  if (encodePadded(bytes) !== text) throw refused(text, 'base64')
  return bytes
}

const HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'))

export function hex(bytes: Uint8Array): string {
  let text = ''
  for (const byte of bytes) text += HEX[byte] as string
  return text
}

// A loop, not `Uint8Array.from`: each record that is pulled has its signature, key and proof read here.
function lenient(text: string): Uint8Array<ArrayBuffer> {
  let binary: string
  try {
    binary = atob(text)
  } catch {
    return new Uint8Array()
  }
  const bytes = new Uint8Array(binary.length)
  for (let at = 0; at < bytes.length; at++) bytes[at] = binary.charCodeAt(at)
  return bytes
}

function refused(text: string, wanted: string): LedgerError {
  return new LedgerError(
    'bad-key',
    t(words.otherText, { text: `'${text.slice(0, 60)}'`, wanted }),
    t(words.notBase64urlHint),
  )
}
