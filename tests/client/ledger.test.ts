/** The phone's ledger against published vectors and the file of canonical JSON that the server's tests read too. */
import { describe, expect, it } from 'vitest'
import { decode, encode, hex } from '@client/ledger/base64url'
import { canonical, canonicalBytes, readCanonical, readCanonicalBytes } from '@client/ledger/canonical'
import { keyId } from '@client/ledger/checkpoint'
import { atOf, parseEntry, signEntry, verifyEntry, type Entry } from '@client/ledger/entry'
import { LedgerError } from '@client/ledger/errors'
import { generateKey, keyFromSeed, sign, thumbprint, verify } from '@client/ledger/keys'
import { readPrivate, writePrivate } from '@client/ledger/private'
import { leafHash, verifyConsistency, verifyInclusion } from '@client/ledger/tree'
import { uuid7 } from '@client/ledger/uuid'
import ours from '../vectors/canonical.json'
import editions from '../vectors/editions.json'
import published from '../vectors/published.json'

const bytes = (text: string) => Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16))
const utf8 = (text: string) => new TextEncoder().encode(text)

describe('canonical JSON', () => {
  it.each(ours.accepted)('reads and writes $says', ({ text }) => {
    expect(canonical(readCanonical(text))).toBe(text)
    expect(canonicalBytes(readCanonicalBytes(utf8(text)))).toEqual(utf8(text))
  })
  it.each(ours.refused)('refuses $says', ({ text }) => {
    expect(() => readCanonical(text)).toThrow(expect.objectContaining({ code: 'not-canonical' }))
  })
  it.each(ours.refused_bytes)('refuses bytes: $says', ({ hex: text }) => {
    expect(() => readCanonicalBytes(bytes(text))).toThrow(expect.objectContaining({ code: 'not-canonical' }))
  })
  it('writes the text sample of RFC 8785', () => {
    expect(canonical(published.rfc8785_text.value)).toBe(published.rfc8785_text.canonical)
  })
  it.each([
    ['a member that is undefined', { a: undefined }],
    ['a hole', Object.assign(new Array(2), { 1: 1 })],
    ['minus zero', -0],
    ['a fraction', 0.5],
    ['NaN', NaN],
    ['2^53', 2 ** 53],
    ['a big integer', 1n],
    ['half a surrogate pair', '\ud800'],
    ['a date', new Date(0)],
    ['a map', new Map()],
    ['bytes', new Uint8Array(2)],
    ['a function', () => 1],
    ['a symbol', Symbol('a')],
  ])('does not write %s', (_, value) => {
    expect(() => canonical([value])).toThrow(LedgerError)
  })
  it('names the place of the fault, and says what to do', () => {
    expect(() => canonical({ a: [0, { b: 0.5 }] })).toThrow('$.a[1].b is a fraction')
    expect(() => readCanonical('{"a":2,"a":2}')).toThrow(
      'character 6 is not canonical: found ",\\"a\\":2}", expected "}"',
    )
    expect(() => readCanonical('5.0')).toThrow(
      expect.objectContaining({ hint: expect.stringContaining('as they were signed') }),
    )
  })
  it('refuses a circle instead of going round', () => {
    const circle: unknown[] = []
    circle.push(circle)
    expect(() => canonical(circle)).toThrow('more than 16 deep')
  })
})

describe('keys', () => {
  it.each(published.rfc8032.cases)('sign as RFC 8032 does: seed $seed', async (vector) => {
    const key = await keyFromSeed(bytes(vector.seed))
    expect(hex(decode(key.key))).toBe(vector.public)
    expect(hex(await sign(key, bytes(vector.message)))).toBe(vector.signature)
    expect(await verify(key.key, bytes(vector.message), bytes(vector.signature))).toBe(true)
    expect(await verify(key.key, bytes(`${vector.message}00`), bytes(vector.signature))).toBe(false)
  })
  it('have the thumbprint of RFC 8037', async () => {
    expect(await thumbprint(published.rfc8037.jwk.x)).toBe(published.rfc8037.thumbprint)
  })
  it('cannot be taken out of the browser', async () => {
    for (const key of [await generateKey(), await keyFromSeed(new Uint8Array(32))]) {
      expect(key.secret.extractable).toBe(false)
      await expect(crypto.subtle.exportKey('pkcs8', key.secret)).rejects.toThrow()
      await expect(crypto.subtle.exportKey('jwk', key.secret)).rejects.toThrow()
      expect(await verify(key.key, utf8('x'), await sign(key, utf8('x')))).toBe(true)
    }
  })
  it('of the wrong form verify nothing', async () => {
    expect(await verify('short', utf8('x'), new Uint8Array(64))).toBe(false)
    expect(await verify(encode(new Uint8Array(32)), utf8('x'), new Uint8Array(3))).toBe(false)
  })
  it('have the key id of the published note', async () => {
    const [name, id, encoded] = published.signed_note.vkey.split(/\+(.{8})\+/) as [string, string, string]
    const raw = Uint8Array.from(atob(encoded), (character) => character.charCodeAt(0)).slice(1)
    expect(hex(await keyId(name, encode(raw)))).toBe(id)
  })
})

describe('entries', () => {
  const members = {
    workshop: 'A'.repeat(43),
    job: '019abcde-0000-7000-8000-00000000000a',
    person: '019abcde-0000-7000-8000-000000000001',
    seq: 1,
    after: [],
    at: atOf(0),
  }
  const begun = (device: Awaited<ReturnType<typeof generateKey>>) =>
    signEntry({ ...members, kind: 'step.begun', body: { step: 'locks_in' } }, device)

  it('read back as they were signed, and verify with the key they name', async () => {
    const device = await generateKey()
    const entry: Entry = await begun(device)
    expect(await parseEntry(entry.line)).toEqual(entry)
    expect(entry).toMatchObject({
      ...members,
      device: device.thumbprint,
      kind: 'step.begun',
      body: { step: 'locks_in' },
    })
    expect(await verifyEntry(entry, device.key)).toBe(true)
    expect(await verifyEntry(entry, (await generateKey()).key)).toBe(false)
  })
  it('do not verify when a byte was changed', async () => {
    const device = await generateKey()
    const changed = await parseEntry((await begun(device)).line.replace('locks_in', 'locks_on'))
    expect(await verifyEntry(changed, device.key)).toBe(false)
  })
  it('are not signed when the workshop would refuse them', async () => {
    const device = await generateKey()
    const wrong = signEntry({ ...members, kind: 'step.begun', body: { step: 'Locks in' } }, device)
    await expect(wrong).rejects.toThrow('body.step: expected a name')
    const nowhere = signEntry({ ...members, job: null, kind: 'job.taken', body: {} }, device)
    await expect(nowhere).rejects.toThrow('job.taken names a job, got null')
  })
})

describe('entries of several editions', () => {
  it.each(editions.read)('reads, or leaves unread: $says', async ({ line, id, kind, wire_kind, job }) => {
    const entry = await parseEntry(line)
    expect([entry.id, entry.kind, entry.job]).toEqual([id, kind, job])
    expect(entry.kind === 'unread' ? entry.wireKind : entry.kind).toBe(wire_kind)
    expect(await verifyEntry(entry, editions.device_key)).toBe(true)
  })
  it.each(editions.refused)('refuses $says', async ({ line, code }) => {
    await expect(parseEntry(line)).rejects.toMatchObject({ code })
  })
})

describe('the tree', () => {
  const { leaves, inclusion, consistency, roots_size_1_to_8: roots } = published.merkle
  const root = (size: number) => bytes(roots[size - 1]!)

  it.each(inclusion)('takes the published path of leaf $index of $size', async ({ index, size, path }) => {
    const leaf = await leafHash(bytes(leaves[index]!))
    const nodes = path.map(bytes)
    expect(await verifyInclusion(leaf, index, size, nodes, root(size))).toBe(true)
    expect(await verifyInclusion(leaf, index, size, nodes.slice(1), root(size))).toBe(false)
    expect(await verifyInclusion(leaf, index, size, [...nodes, leaf], root(size))).toBe(false)
  })
  it.each(consistency)('takes the published proof from $size1 to $size2', async ({ size1, size2, path }) => {
    const nodes = path.map(bytes)
    expect(await verifyConsistency(size1, size2, root(size1), root(size2), nodes)).toBe(true)
    expect(await verifyConsistency(size1, size2, root(size2), root(size1), nodes)).toBe(false)
    expect(await verifyConsistency(size1, size2, root(size1), root(size2), nodes.slice(1))).toBe(false)
  })
})

describe('small forms', () => {
  it('writes the UUID of RFC 9562', () => {
    const { uuid, unix_ms: ms } = published.rfc9562_v7
    expect(uuid7(ms, bytes(uuid.replaceAll('-', '').slice(12)))).toBe(uuid)
  })
  it('writes a time whatever the clock says', () => {
    expect(atOf(1645557742000)).toBe('2022-02-22T19:22:22.000Z')
    for (const ms of [NaN, Infinity, -Infinity, 1e300]) expect(atOf(ms)).toMatch(/^\d{4}-\d\d-\d\dT/)
  })
  it('keeps a private value and its salt', () => {
    const salt = bytes('000102030405060708090a0b0c0d0e0f')
    expect(readPrivate(writePrivate('plate', 'DEMO 1', salt))).toEqual({
      field: 'plate',
      value: 'DEMO 1',
      salt,
    })
  })
})
