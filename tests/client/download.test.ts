import { beforeEach, expect, test } from 'vitest'
import { blobId } from '@client/ledger/private'
import { BundleCache } from '@client/store/bundle-cache'
import { Downloads } from '@client/store/downloads'
import { Api } from '@client/sync/api'
import { Download, NotAsAsked, NotAsNamed } from '@client/sync/download'
import { Offline } from '@client/sync/errors'
import { openPhone, type Opened } from './phone'
import { portal, ranged, refusal } from './workshop'

const PATH = '/api/blobs/one'
/** Some parts long. */
const whole = new Uint8Array(300_000).map((_, n) => (n * 31 + (n >> 8)) & 255)
let sha = ''
let phone: Opened
/** What of it was asked for, in turn. */
let asked: string[]

type Answering = (answer: Response, headers: Headers) => Response | Promise<Response>

beforeEach(async () => {
  sha = await blobId(whole)
  phone = await openPhone()
  asked = []
})

/** A download on this phone, begun anew as after a start; `answering` is what the line makes of the workshop's answers. */
function download(answering: Answering = (answer) => answer): Promise<ArrayBuffer> {
  const api = new Api(
    async (_, init) => {
      const headers = new Headers(init?.headers)
      asked.push(headers.get('Range') ?? '')
      return answering(ranged(whole, 'application/octet-stream', `"${sha}"`, headers), headers)
    },
    async () => null,
  )
  return new Download(api, downloads()).whole(PATH, sha)
}

/** Only so many bytes of an answer come, then the line breaks. */
async function cut(answer: Response, at: number): Promise<Response> {
  const bytes = new Uint8Array(await answer.arrayBuffer()).slice(0, at)
  const pieces = [bytes]
  const body = new ReadableStream({
    pull(into) {
      const piece = pieces.pop()
      if (piece?.length) into.enqueue(piece)
      else into.error(new TypeError('network error'))
    },
  })
  return new Response(body, { status: answer.status, headers: answer.headers })
}

async function said(answer: Response, range: string | null, status = answer.status): Promise<Response> {
  const headers = new Headers(answer.headers)
  if (range === null) headers.delete('Content-Range')
  else headers.set('Content-Range', range)
  return new Response(await answer.arrayBuffer(), { status, headers })
}

const downloads = () => new Downloads(phone.store.inside)
const half = () => downloads().half(sha)
/** Not `toEqual`, which takes seconds for so many bytes. */
const isBegun = (bytes: Uint8Array | undefined, length: number) =>
  bytes?.length === length && Buffer.compare(bytes, whole.subarray(0, length)) === 0
const isWhole = async (coming: Promise<ArrayBuffer>) => isBegun(new Uint8Array(await coming), whole.length)

test('a line on which nothing comes whole brings a download whole, byte by byte', async () => {
  const upTime = (answer: Response) => cut(answer, 40_000)
  for (let come = 40_000; come <= whole.length; come += 40_000) {
    await expect(download(upTime)).rejects.toBeInstanceOf(Offline)
    expect(isBegun((await half())?.bytes, come)).toBe(true)
  }
  await expect(download(upTime)).rejects.toBeInstanceOf(Offline) // its last byte, and no end of it
  expect(await isWhole(download(() => portal()))).toBe(true)
  expect(asked[1]).toMatch(/^bytes=40000-/)
})

test('parts grow while the line holds and shrink when it breaks', async () => {
  const sizes = () =>
    asked.map(
      (range) =>
        1 -
        (/(\d+)-(\d+)/.exec(range) ?? [])
          .slice(1)
          .map(Number)
          .reduce((from, to) => from - to),
    )
  expect(await isWhole(download())).toBe(true)
  expect(sizes()).toEqual([65_536, 131_072, 262_144])
  asked = []
  let isBroken = true
  const api = new Api(
    async (_, init) => {
      asked.push(new Headers(init?.headers).get('Range') ?? '')
      if (isBroken) throw new TypeError('no line')
      return ranged(whole, 'application/octet-stream', `"${sha}"`, new Headers(init?.headers))
    },
    async () => null,
  )
  const poor = new Download(api, downloads())
  for (let n = 0; n < 3; n++) await expect(poor.whole(PATH, sha)).rejects.toBeInstanceOf(Offline)
  isBroken = false
  expect(await isWhole(poor.whole(PATH, sha))).toBe(true)
  expect(sizes().slice(0, 5)).toEqual([65_536, 16_384, 8192, 8192, 16_384])
})

test('what is kept is gone on with after the next start, and its last byte is the end of it', async () => {
  await expect(download((answer) => cut(answer, 50_000))).rejects.toBeInstanceOf(Offline)
  await phone.store.close()
  phone = await openPhone(phone.name)
  expect(isBegun((await half())?.bytes, 50_000)).toBe(true)
  expect(await isWhole(download())).toBe(true)
  await new BundleCache(phone.store.inside).keepAsset(sha, 'image/png', whole.buffer)
  expect(await half()).toBeNull()
})

test('a half that was damaged is thrown away, and all is brought from the first byte', async () => {
  const damaged = whole.slice(0, 100_000)
  damaged[500] = (damaged[500] ?? 0) ^ 1
  await downloads().keepPart(sha, { from: 0, bytes: damaged, total: whole.length })
  expect(await isWhole(download())).toBe(true)
  expect([asked[0]?.split('-')[0], asked.some((range) => range.startsWith('bytes=0-'))]).toEqual([
    'bytes=100000',
    true,
  ])
})

test('bytes that never hash to their name are refused, and not asked for without end', async () => {
  const other = whole.map((byte) => byte ^ 1)
  await downloads().keepPart(sha, { from: 0, bytes: whole.slice(0, 1000), total: whole.length })
  const wrong = download((_, headers) => ranged(other, 'application/octet-stream', `"${sha}"`, headers))
  await expect(wrong).rejects.toBeInstanceOf(NotAsNamed)
  expect(asked.length).toBeLessThan(10)
  expect(await half()).toBeNull()
})

test('a proxy that knows no ranges gives the whole, and that is taken', async () => {
  const plain = () => new Response(whole, { headers: { 'Content-Type': 'application/octet-stream' } })
  expect(await isWhole(download(plain))).toBe(true)
  await expect(download(() => cut(plain(), 90_000))).rejects.toBeInstanceOf(Offline)
  await expect(download(() => cut(plain(), 40_000))).rejects.toBeInstanceOf(Offline)
  expect(isBegun((await half())?.bytes, 90_000)).toBe(true) // a shorter one takes nothing back
  expect(await isWhole(download())).toBe(true)
})

test.each<[string, Answering]>([
  ['another place', (answer) => said(answer, 'bytes 1-65536/300000')],
  ['more than was asked for', (answer) => said(answer, 'bytes 0-299999/300000')],
  ['a place past the end', (answer) => said(answer, 'bytes 0-65535/65535')],
  ['backwards', (answer) => said(answer, 'bytes 0-0/300000')],
  ['no length', (answer) => said(answer, 'bytes 0-65535/*')],
  ['no place', (answer) => said(answer, null)],
  ['another success', (answer) => said(answer, null, 203)],
  ['no such byte', () => refusal(416, 'bad-range')],
])('an answer with %s is refused, and nothing of it stays', async (_, answering) => {
  await expect(download(answering)).rejects.toBeInstanceOf(NotAsAsked)
  expect(await half()).toBeNull()
  expect(await isWhole(download())).toBe(true)
})

test('another length in the middle is refused, and what had come is thrown away', async () => {
  const answering: Answering = (answer) =>
    asked.length > 1
      ? said(answer, (answer.headers.get('Content-Range') ?? '').replace('/300000', '/300001'))
      : answer
  await expect(download(answering)).rejects.toThrow('had 300000 bytes, now 300001')
  expect(await half()).toBeNull()
})

test('a portal’s page, or a refusal, becomes no part of it and takes none away', async () => {
  await expect(download((answer) => cut(answer, 5000))).rejects.toBeInstanceOf(Offline)
  const before = await half()
  await expect(download(portal)).rejects.toBeInstanceOf(Offline)
  await expect(download(() => refusal(503, 'busy'))).rejects.toThrow('refused: busy')
  await expect(download(async () => cut(await portal(), 9))).rejects.toBeInstanceOf(Offline)
  await expect(download(async () => cut(refusal(500, 'fault'), 9))).rejects.toBeInstanceOf(Offline)
  expect(await half()).toEqual(before)
})
