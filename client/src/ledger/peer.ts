/** What the differential tests call in this room. Bytes travel as hex. */
import type { PeerFunctions } from '../peer'
import { decode, encode, hex } from './base64url'
import type { Kind } from './bodies'
import { canonical, readCanonicalBytes } from './canonical'
import { openCheckpoint } from './checkpoint'
import { atOf, parseEntry, signEntry, verifyEntry, type Members } from './entry'
import { checkBody } from './forms'
import { invitationText, readInvitation } from './invitation'
import {
  enrolmentMessage,
  keyFromSeed,
  sessionMessage,
  sign,
  successionMessage,
  thumbprint,
  verify,
} from './keys'
import { blobId, readPrivate, writePrivate, type PrivateField } from './private'
import { leafOf, parseRecord } from './record'
import { verifyConsistency, verifyInclusion, verifyInclusionOf } from './tree'
import { uuid7 } from './uuid'

const bytes = (text: string) => Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16))
const seeded = (seed: string) => keyFromSeed(bytes(seed))

export const peerFunctions: PeerFunctions = {
  base64url: (text: string) => hex(decode(text)),
  canonical,
  readCanonical: (data: string) => readCanonicalBytes(bytes(data)),
  checkBody,
  thumbprint,
  publicKey: async (seed: string) => (await seeded(seed)).key,
  sign: async (seed: string, message: string) => hex(await sign(await seeded(seed), bytes(message))),
  verify: (key: string, message: string, signature: string) => verify(key, bytes(message), bytes(signature)),
  messages: (said: { device: string; invitation: string; workshop: string }, nonce: string, key: string) => {
    const { device, workshop } = said
    const all = [
      enrolmentMessage(said),
      sessionMessage({ device, nonce, workshop }),
      successionMessage({ key, workshop }),
    ]
    return all.map(hex)
  },
  parseEntry: async (line: string) => {
    const { signature, ...entry } = await parseEntry(line)
    return { ...entry, signature: hex(signature) }
  },
  verifyEntry: async (line: string, key: string) => verifyEntry(await parseEntry(line), key),
  signEntry: async (members: Members<Kind>, seed: string) =>
    (await signEntry(members, await seeded(seed))).line,
  writePrivate: async (field: PrivateField, value: string, salt: string) => {
    const blob = writePrivate(field, value, bytes(salt))
    return [hex(blob), await blobId(blob)]
  },
  readPrivate: (data: string) => {
    const { field, value, salt } = readPrivate(bytes(data))
    return [field, value, hex(salt)]
  },
  parseRecord: async (text: string) => {
    const record = await parseRecord(text)
    return [record.received, record.offsetMs, record.entry.id, hex(await leafOf(record))]
  },
  openCheckpoint: async (text: string, key: string, workshop: string) => {
    const { size, root } = await openCheckpoint(text, key, workshop)
    return [size, hex(root)]
  },
  verifyInclusionOf: (leaves: [number, string][], size: number, proof: string[], root: string) =>
    verifyInclusionOf(
      new Map(leaves.map(([index, leaf]) => [index, bytes(leaf)])),
      size,
      proof.map(bytes),
      bytes(root),
    ),
  verifyInclusion: (leaf: string, index: number, size: number, path: string[], root: string) =>
    verifyInclusion(bytes(leaf), index, size, path.map(bytes), bytes(root)),
  verifyConsistency: (before: number, now: number, rootBefore: string, rootNow: string, path: string[]) =>
    verifyConsistency(before, now, bytes(rootBefore), bytes(rootNow), path.map(bytes)),
  readInvitation: (text: string) => {
    const invitation = readInvitation(text)
    return [{ ...invitation, secret: encode(invitation.secret) }, invitationText(invitation)]
  },
  uuid7: (ms: number, random: string) => uuid7(ms, bytes(random)),
  atOf,
}
