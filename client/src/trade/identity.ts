/**
 * The vehicle identification number: what can be wrong with one that was read or typed.
 * Seventeen characters without I, O and Q: hard everywhere. The check character at position 9 is hard only where the
 * law asks for it (first character 1 to 5, or L); elsewhere a number is only said to carry none.
 * Source: S1, 49 CFR 565.15(c). The twin of `server/twoturns/trade/identity.py`, which says more.
 */

import * as words from '../words/en/trade/identity'
import { t } from '../words/message'

const LENGTH = 17
const CHECK_AT = 9 // position, counted from 1
const CHECKED_REGIONS = '12345L'

/** S1, table III */
const VALUES = new Map<string, number>([
  ...[...'0123456789'].map((digit, value): [string, number] => [digit, value]),
  ...[...'ABCDEFGH'].map((letter, i): [string, number] => [letter, i + 1]),
  ...[...'JKLMN'].map((letter, i): [string, number] => [letter, i + 1]),
  ['P', 7],
  ['R', 9],
  ...[...'STUVWXYZ'].map((letter, i): [string, number] => [letter, i + 2]),
])
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]
const NOT_USED: Readonly<Record<string, string>> = { I: '1', O: '0', Q: '0' }
const LOOK_ALIKE = ['2SZ', '5S', '8BHY', 'BS', '0D', '6G', 'UVM', 'NVM', '1L7T']

/** A character that may have been misread: its position from 1, what was read, what it may be. */
interface Slip {
  position: number
  read: string
  perhaps: string
}

interface VinResult {
  vin: string
  code: 'vin-holds' | 'vin-unchecked' | 'vin-length' | 'vin-letter' | 'vin-check'
  accepted: boolean
  message: string
  hint: string
  again: Slip[]
}

/** The character that belongs at position 9, from the other sixteen. */
export function checkCharacter(vin: string): string {
  const total = WEIGHTS.reduce(
    (sum, weight, i) => sum + (weight === 0 ? 0 : weight * (VALUES.get(vin[i] as string) as number)),
    0,
  )
  return '0123456789X'[total % 11] as string
}

/** Judge a number as it was typed or read; small letters and outer blanks are no fault. */
export function checkVin(text: string): VinResult {
  // Only what both languages do alike: blanks at the ends go, a to z become capitals.
  const letters = [
    ...text.replace(/^[ \t\r\n]+|[ \t\r\n]+$/g, '').replace(/[a-z]/g, (letter) => letter.toUpperCase()),
  ]
  const vin = letters.join('')
  const strange = letters.flatMap((letter, i) => (VALUES.has(letter) ? [] : [{ position: i + 1, letter }]))
  if (letters.length !== LENGTH)
    return wrongLength(
      vin,
      letters.length,
      strange.some(({ letter }) => letter === ' ' || letter === '-'),
    )
  if (strange.length) return wrongLetter(vin, strange)
  if (!CHECKED_REGIONS.includes(vin.charAt(0))) {
    return {
      vin,
      code: 'vin-unchecked',
      accepted: true,
      message: t(words.vinUnchecked),
      hint: t(words.vinUncheckedHint),
      again: slipsOf(vin),
    }
  }
  const wanted = checkCharacter(vin)
  const again = slipsOf(vin).filter(({ position, perhaps }) =>
    holds(vin.slice(0, position - 1) + perhaps + vin.slice(position)),
  )
  if (vin[CHECK_AT - 1] === wanted) {
    const hint = again.length ? t(words.vinHoldsHiddenHint) : t(words.nothingMoreToDo)
    return { vin, code: 'vin-holds', accepted: true, message: t(words.vinHolds), hint, again }
  }
  return {
    vin,
    code: 'vin-check',
    accepted: false,
    message: t(words.vinCheck, { position: CHECK_AT, read: vin[CHECK_AT - 1]!, wanted }),
    hint: again.length ? t(words.vinCheckMarkedHint) : t(words.vinCheckHint),
    again,
  }
}

function wrongLength(vin: string, length: number, isParted: boolean): VinResult {
  const hint = isParted ? t(words.vinLengthPartedHint) : t(words.vinLengthHint)
  return {
    vin,
    code: 'vin-length',
    accepted: false,
    message: t(words.vinLength, { length, expected: LENGTH }),
    hint,
    again: [],
  }
}

function wrongLetter(vin: string, strange: readonly { position: number; letter: string }[]): VinResult {
  const { position, letter } = strange[0] as (typeof strange)[number]
  const meant = NOT_USED[letter]
  return {
    vin,
    code: 'vin-letter',
    accepted: false,
    message: t(words.vinLetter, { position, letter }),
    hint: meant ? t(words.vinLetterMeantHint, { meant }) : hintFor(letter),
    again: strange.flatMap((each) => {
      const perhaps = NOT_USED[each.letter]
      return perhaps ? [{ position: each.position, read: each.letter, perhaps }] : []
    }),
  }
}

const hintFor = (letter: string) =>
  letter > '~' // of another alphabet, or as wide as two
    ? t(words.vinLetterAlikeHint)
    : t(words.vinLetterHint)

/** Every way one character may have been taken for another that looks like it. */
function slipsOf(vin: string): Slip[] {
  return [...vin].flatMap((read, i) => {
    const others = new Set(LOOK_ALIKE.filter((group) => group.includes(read)).flatMap((group) => [...group]))
    return [...others]
      .filter((other) => other !== read)
      .sort()
      .map((perhaps) => ({ position: i + 1, read, perhaps }))
  })
}

const holds = (vin: string) => vin[CHECK_AT - 1] === checkCharacter(vin)
