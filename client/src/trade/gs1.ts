/**
 * What the code on a box says: GTIN, lot, serial and expiry, from GS1 element strings and links.
 * The twin of `server/twoturns/trade/gs1.py`. It knows the fields that labels of parts carry; a label with another one
 * is said to be broken here, and its lot is typed. Source: S1, GS1 General Specifications, section 3.
 */

import * as words from '../words/en/trade/gs1'
import { t } from '../words/message'

const SEPARATOR = '\x1d'

/** A field's key, and what it may hold; where `length` stands the field ends by itself, else at the separator. */
interface Field {
  key: RegExp
  holds: RegExp
  length?: number
}

const fixed = (key: string, holds: string, length: number): Field => ({
  key: new RegExp(`^${key}`),
  holds: new RegExp(`^${holds}$`),
  length,
})
const open = (key: string, holds: string): Field => ({
  key: new RegExp(`^${key}`),
  holds: new RegExp(`^${holds}$`),
})

// S1: the 82 characters of a lot, and dates of which the day may be 00.
const TEXT = '[!%-?A-Z_a-z"]'
const DATE = '\\d{2}(?:0\\d|1[0-2])(?:[0-2]\\d|3[01])'
// S1, application identifiers: keys, what they hold, and how long those are that end by themselves.
const FIELDS: readonly Field[] = [
  fixed('00', '\\d{18}', 18),
  fixed('0[123]', '\\d{14}', 14),
  fixed('1[1-35-7]', DATE, 6),
  fixed('20', '\\d{2}', 2),
  fixed('31[0-6][0-5]', '\\d{6}', 6),
  fixed('41[0-7]', '\\d{13}', 13),
  open('10', `${TEXT}{1,20}`),
  open('2[12]', `${TEXT}{1,20}`),
  open('24[01]', `${TEXT}{1,30}`),
  open('25[01]', `${TEXT}{1,30}`),
  open('3[07]', '\\d{1,8}'),
  open('400', `${TEXT}{1,30}`),
  open('7003', `${DATE}(?:(?:[01]\\d|2[0-3])[0-5]\\d|9999)`),
  open('90', `${TEXT}{1,30}`),
  open('9[1-9]', `${TEXT}{1,90}`),
]
// biome-ignore lint/suspicious/noControlCharactersInRegex: U+001D is the separator
const ANNOUNCED = /^(?:\](?:C1|d2|Q3|e0|J1)\x1d?|\x1d)/
/** Characters: what an entry has room for. */
const LONGEST = 500
/** Fields that begin with a day, YYMMDD. */
const IS_DAY = /^(?:1[1-7]|7003)$/
const SWALLOWED = /.(?:17\d\d(?:0[1-9]|1[0-2])(?:[0-2]\d|3[01])|21...)/

export interface Label {
  code: 'label-read' | 'label-plain' | 'label-broken' | 'label-gtin'
  accepted: boolean
  message: string
  hint: string
  gtin?: string
  lot?: string
  serial?: string
  /** YYYY-MM-DD: good through that day. */
  expires?: string
  /** What the text alone cannot tell: for a look at the print. */
  doubts: string[]
}

const refused = (code: 'label-broken' | 'label-gtin', message: string, hint: string): Label => ({
  code,
  accepted: false,
  message,
  hint,
  doubts: [],
})
const broken = () => refused('label-broken', t(words.labelBroken), t(words.labelBrokenHint))

/** The digit that follows the others of a GTIN: weights 3 and 1 from the right. */
function gtinCheckDigit(payload: string): number {
  const total = [...payload]
    .reverse()
    .reduce((sum, digit, at) => sum + Number(digit) * (at % 2 === 0 ? 3 : 1), 0)
  return (10 - (total % 10)) % 10
}

const holdsAsGtin = (digits: string) =>
  /^\d+$/.test(digits) && digits.endsWith(String(gtinCheckDigit(digits.slice(0, -1))))

/**
 * Read what a camera or a hand scanner gave: an element string, a link, or a maker's own code.
 *
 * @param year the year now: two digits of a year are within 49 years before and 50 after it
 */
export function readLabel(scanned: string, year: number): Label {
  const whole = scanned.replace(/^[ \t\r\n]+|[ \t\r\n]+$/g, '')
  const announced = ANNOUNCED.exec(whole)
  const text = announced ? whole.slice(announced[0].length) : whole
  const isLink = /^https?:\/\//i.test(text)
  if ([...text].length > LONGEST) return broken()
  if (!isLink && !announced && !/^01\d{14}/.test(text)) return notGs1(text)
  const fields = isLink ? fieldsOfLink(text) : fieldsOf(text)
  return fields === null ? broken() : fromFields(fields, text, isLink, year)
}

/** A shop's item number, or a maker's own lot code, which may begin with any digits: it is taken whole. */
function notGs1(text: string): Label {
  if ([12, 13, 14].includes(text.length) && holdsAsGtin(text)) {
    return {
      code: 'label-read',
      accepted: true,
      message: t(words.labelRead),
      hint: t(words.labelReadHint),
      gtin: text.padStart(14, '0'),
      doubts: [],
    }
  }
  const length = [...text].length
  if (length === 0 || length > 64 || /[\p{C}\p{Zl}\p{Zp}]|(?! )\p{Zs}/u.test(text))
    return refused('label-broken', t(words.codeEmpty), t(words.codeEmptyHint))
  return {
    code: 'label-plain',
    accepted: true,
    message: t(words.labelPlain),
    hint: t(words.labelPlainHint),
    lot: text,
    doubts: [],
  }
}

function fieldsOf(text: string): Map<string, string> | null {
  const found = new Map<string, string>()
  let rest = text
  while (rest !== '') {
    const field = FIELDS.find(({ key }) => key.test(rest))
    const key = field?.key.exec(rest)?.[0]
    if (!field || key === undefined) return null
    const end = field.length === undefined ? rest.indexOf(SEPARATOR, key.length) : key.length + field.length
    const value = rest.slice(key.length, end === -1 ? undefined : end)
    // A label may say a thing twice, but not two things: which lot is it?
    if (!field.holds.test(value) || (found.get(key) ?? value) !== value) return null
    found.set(key, value)
    rest = end === -1 ? '' : rest.slice(end + (rest[end] === SEPARATOR ? 1 : 0))
  }
  return found
}

/** The path of a link is keys and values by turns, from the item's key on; more may stand in its query. */
function fieldsOfLink(text: string): Map<string, string> | null {
  if (!URL.canParse(text)) return null
  const { pathname, searchParams } = new URL(text)
  const parts = pathname.split('/').slice(1)
  const at = parts.indexOf('01')
  if (at === -1) return null
  const pairs: [string, string][] = []
  for (let i = at; i < parts.length; i += 2) {
    const value = decoded(parts[i + 1] ?? '')
    if (value === null) return null
    pairs.push([parts[i] ?? '', value])
  }
  for (const [key, value] of searchParams) if (/^\d{2,4}$/.test(key)) pairs.push([key, value])
  const isWhole = pairs.every(([key, value]) =>
    FIELDS.some((field) => field.key.exec(key)?.[0] === key && field.holds.test(value)),
  )
  const found = new Map(pairs)
  return isWhole && pairs.every(([key, value]) => found.get(key) === value) ? found : null
}

function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part)
  } catch {
    return null
  }
}

function fromFields(fields: ReadonlyMap<string, string>, text: string, isLink: boolean, year: number): Label {
  for (const [key, value] of fields) if (IS_DAY.test(key) && dayOf(value, year) === null) return broken()
  const gtin = fields.get('01')
  if (gtin !== undefined && !holdsAsGtin(gtin))
    return refused('label-gtin', t(words.labelGtin), t(words.labelGtinHint))
  const [lot, serial] = ['10', '21'].map((key) => fields.get(key))
  if (gtin === undefined && lot === undefined && serial === undefined) return broken()
  // Expiry, best before, expiry with an hour: whichever comes first is how long it is good.
  const [expires = null] = ['15', '17', '7003']
    .flatMap((key) => (fields.has(key) ? (dayOf(fields.get(key)!, year) ?? []) : []))
    .sort()
  const swallowed = lot !== undefined && !isLink && !text.includes(SEPARATOR) && SWALLOWED.test(lot)
  const doubts = swallowed ? [t(words.lotDoubtful, { lot })] : []
  return {
    code: 'label-read',
    accepted: true,
    message: t(words.labelRead),
    hint: doubts.length > 0 ? t(words.lotDoubtfulHint) : t(words.nothingMoreToDo),
    ...(gtin === undefined ? {} : { gtin }),
    ...(lot === undefined ? {} : { lot }),
    ...(serial === undefined ? {} : { serial }),
    ...(expires === null ? {} : { expires }),
    doubts,
  }
}

/** YYMMDD as a day; day 00 is the last of its month. Null for one that is not there. */
function dayOf(text: string, thisYear: number): string | null {
  const [yy, month, day] = [text.slice(0, 2), text.slice(2, 4), text.slice(4, 6)].map(Number) as [
    number,
    number,
    number,
  ]
  const apart = yy - (thisYear % 100)
  const century = Math.floor(thisYear / 100) + (apart >= 51 ? -1 : apart <= -50 ? 1 : 0)
  const year = century * 100 + yy
  const last = new Date(Date.UTC(year, month, 0)).getUTCDate()
  if (month === 0 || day > last) return null
  return `${year}-${text.slice(2, 4)}-${String(day === 0 ? last : day).padStart(2, '0')}`
}
