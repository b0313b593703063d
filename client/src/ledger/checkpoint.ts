/** Reads a tree's size and root, signed by the workshop key: C2SP tlog-checkpoint. Twin of checkpoint.py. */
import { decode, decodePadded } from './base64url'
import { LedgerError } from './errors'
import { KEY_BYTES, sha256, verify } from './keys'
import * as words from '../words/en/ledger/checkpoint'
import { t } from '../words/message'

export interface Checkpoint {
  readonly size: number
  readonly root: Uint8Array<ArrayBuffer>
}

const ED25519 = 1
const KEY_ID_BYTES = 4
const TEXT = /^([^\n]+)\n(0|[1-9][0-9]{0,14})\n([A-Za-z0-9+/]{43}=)\n$/
const HINT = t(words.badCheckpointHint)

/**
 * What a checkpoint says, if the key signed it for this workshop.
 *
 * @throws {LedgerError} `bad-checkpoint` if it did not, or the text has another form.
 */
export async function openCheckpoint(text: string, key: string, workshop: string): Promise<Checkpoint> {
  const end = text.lastIndexOf('\n\n')
  const body = text.slice(0, end + 1)
  const form = end < 0 ? null : TEXT.exec(body)
  if (!form) throw refused(t(words.notACheckpoint))
  const [, origin, size, root] = form as unknown as [string, string, string, string]
  if (origin !== `two-turns/${workshop}`)
    throw refused(t(words.otherOrigin, { origin: `'${origin.slice(0, 80)}'` }))
  if (!(await isSignedBy(body, text.slice(end + 2), key, origin))) {
    throw refused(t(words.notSigned))
  }
  return { size: Number(size), root: padded(root) }
}

/** The 4 bytes that say which key of a name signed (C2SP signed-note). */
export async function keyId(name: string, key: string): Promise<Uint8Array<ArrayBuffer>> {
  const named = new TextEncoder().encode(`${name}\n`)
  return (await sha256(new Uint8Array([...named, ED25519, ...decode(key, KEY_BYTES)]))).slice(0, KEY_ID_BYTES)
}

/** Whether one of the signature lines of a note is the key's, under this name. */
export async function isSignedBy(
  body: string,
  signatures: string,
  key: string,
  name: string,
): Promise<boolean> {
  if (!signatures.endsWith('\n')) return false
  const ours = `\u2014 ${name} `
  const expected = await keyId(name, key)
  for (const line of signatures.slice(0, -1).split('\n')) {
    const signed = line.startsWith(ours) ? padded(line.slice(ours.length)) : new Uint8Array()
    if (signed.length > 0 && expected.every((byte, n) => byte === signed[n])) {
      return verify(key, new TextEncoder().encode(body), signed.slice(KEY_ID_BYTES))
    }
  }
  return false
}

/** The bytes of padded base64; none if the text is not what they are written as. */
function padded(text: string): Uint8Array<ArrayBuffer> {
  try {
    return decodePadded(text)
  } catch {
    return new Uint8Array()
  }
}

function refused(fact: string): LedgerError {
  return new LedgerError('bad-checkpoint', fact, HINT)
}
