/** How a bag is laid out: its names and the text of its tag files (RFC 8493). Twin of layout.py. */
import { byText } from '../procedure/log'
import { forms } from '../ledger/forms'

export const BAGIT_TXT = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n'
export const BAGIT = 'bagit.txt'
export const BAG_INFO = 'bag-info.txt'
export const MANIFEST = 'manifest-sha256.txt'
export const TAG_MANIFEST = 'tagmanifest-sha256.txt'

export const RECORDS = 'data/records.txt'
export const PROOFS = 'data/proofs.json'
export const CHECKPOINT = 'data/checkpoint.txt'
export const BUNDLE = 'data/bundle.json'
export const DISCLOSURE = 'data/disclosure.json'
export const REPORT = 'data/report.html'
export const HEAD = 'data/head.txt'
export const IDS = 'data/ids.txt'
export const ACCOUNT = 'data/account.json'
export const SINCE = 'data/since.txt'
export const CONSISTENCY = 'data/consistency.json'

const PAYLOAD = 'data/'
export const COPIES = 'data/copies/'
/** Where a bag has a blob that it shows, by what it says of it. */
export const FOLDERS: Readonly<Record<string, readonly string[]>> = {
  disclosed: ['data/blobs/', 'data/photos/', 'data/saw/', 'data/papers/'],
  copy: [COPIES],
}

export const TAG_FILES: readonly string[] = [BAGIT, BAG_INFO, MANIFEST]
export const REQUIRED: readonly string[] = [
  ...TAG_FILES,
  TAG_MANIFEST,
  ...[RECORDS, PROOFS, CHECKPOINT, BUNDLE, DISCLOSURE, REPORT],
]
export const SINCE_EDITION_2: readonly string[] = [HEAD, IDS, ACCOUNT]
const OPTIONAL: readonly string[] = [...SINCE_EDITION_2, SINCE, CONSISTENCY]

const PHOTO_ENDINGS: Readonly<Record<string, string>> = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
  'image/heic': 'heic',
}
const SAW_ENDINGS: Readonly<Record<string, string>> = { 'application/json': 'json', 'audio/wav': 'wav' }
const PAPER_ENDINGS: Readonly<Record<string, string>> = { ...PHOTO_ENDINGS, 'application/pdf': 'pdf' }
const sha = `(${forms.sha256})`
const BLOB_FILE = new RegExp(
  `^data/(?:blobs/${sha}|photos/${sha}\\.(?:jpg|png|webp|heic)|copies/${sha}\\.(?:jpg|png|webp)|saw/${sha}\\.(?:json|wav)|papers/${sha}\\.(?:jpg|png|webp|heic|pdf|bin))$`,
)

export const blobName = (blob: string): string => `data/blobs/${blob}`
export const photoName = (blob: string, type: string): string => `data/photos/${blob}.${PHOTO_ENDINGS[type]}`
export const sawName = (blob: string, type: string): string => `data/saw/${blob}.${SAW_ENDINGS[type]}`

export const paperName = (blob: string, type: string): string =>
  `data/papers/${blob}.${PAPER_ENDINGS[type] ?? 'bin'}`

/** The hash that a file below blobs/, photos/, copies/, saw/ or papers/ is named by. */
export const blobOf = (name: string): string | null =>
  BLOB_FILE.exec(name)
    ?.slice(1)
    .find((group) => group !== undefined) ?? null

/** Whether a bag of ours may hold a file of that name. */
export const isOurs = (name: string): boolean =>
  REQUIRED.includes(name) || OPTIONAL.includes(name) || blobOf(name) !== null

export const inPayload = (digests: ReadonlyMap<string, string>): Map<string, string> =>
  new Map([...digests].filter(([name]) => name.startsWith(PAYLOAD)))

/** A manifest's one form. */
export const manifest = (digests: ReadonlyMap<string, string>): string =>
  [...digests.keys()]
    .sort(byText)
    .map((name) => `${digests.get(name)}  ${name}\n`)
    .join('')

/** bag-info.txt. `oxum` is the payload's bytes and files, `head` the checkpoint's size and root. */
export function bagInfo(said: {
  job: string
  workshopName: string
  madeOn: string
  oxum: readonly [number, number]
  head: string
}): string {
  const fields = {
    'Source-Organization': said.workshopName.split(/\s+/).filter(Boolean).join(' '),
    'External-Identifier': said.job,
    'External-Description': 'One job of a workshop, with the proofs of its records',
    'Bagging-Date': said.madeOn,
    'Bag-Software-Agent': 'Two Turns',
    'Payload-Oxum': said.oxum.join('.'),
    'Two-Turns-Head': said.head,
  }
  return Object.entries(fields)
    .map(([label, value]) => `${label}: ${value}\n`)
    .join('')
}

/** What bag-info.txt says under a label. */
export const infoField = (text: string, label: string): string | null =>
  new RegExp(`^${label}: (.*)$`, 'm').exec(text)?.[1] ?? null
