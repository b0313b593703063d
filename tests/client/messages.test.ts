/**
 * Sentences with arguments, against ICU's own examples, CLDR's samples of plurals and `intl-messageformat`.
 * `tests/server/words/test_message.py` tries the same vectors on the server's twin.
 */
import { IntlMessageFormat } from 'intl-messageformat'
import { expect, it } from 'vitest'
import { filled, languageOf, parse, pieces, t } from '@client/words/message'
import vectors from '../vectors/messages.json'

interface Case {
  locale?: string
  message: string
  args: Record<string, unknown>
  says: string
}
const cases: Case[] = vectors.messages

const say = ({ locale = 'en-GB', message, args }: Case) =>
  filled<string>(languageOf(locale), parse(message), args).join('')
const theirs = ({ locale = 'en-GB', message, args }: Case) =>
  String(new IntlMessageFormat(message, locale).format(args as never))
/** What is ours: a narrow space where theirs has the language's own mark between digits. */
const spaced = (said: string) => said.replace(/(?<=\d)[,\u00a0\u202f](?=\d{3})/g, '\u202f')

it.each(cases)('says $says', (each) => {
  expect(say(each)).toBe(each.says)
  expect(spaced(theirs(each))).toBe(each.says)
})

it('counts as intl-messageformat does, over whole numbers and fractions', () => {
  const message =
    '{n, plural, =0 {none} one {# is} few {# are few} many {# are many} other {# are}}: {x, number, ::.0}'
  for (const locale of ['en-GB', 'pl', 'fr']) {
    const [language, ours] = [languageOf(locale), parse(message)]
    const other = new IntlMessageFormat(message, locale)
    for (let n = 0; n <= 1200; n += 3) {
      const args = { n, x: n / 37 }
      expect(filled(language, ours, args).join('')).toBe(spaced(String(other.format(args))))
    }
  }
})

it.each(Object.entries(vectors.cldr))('has the plural forms of %s', (locale, forms) => {
  const { plural } = languageOf(locale)
  for (const [form, samples] of Object.entries(forms))
    for (const n of samples) expect([n, plural(n)]).toEqual([n, form])
})

it('shows a moment by the clock of this device, and a day as that day', () => {
  for (const each of vectors.moments) {
    const args = Object.fromEntries(
      Object.entries(each.args).map(([name, at]) => [name, new Date(at.length === 10 ? `${at}T12:00` : at)]),
    )
    expect(theirs({ ...each, args })).toBe(say(each))
    // Where this test runs is not known: the words are those of UTC when that is the zone.
    const isUtc = new Date(each.args.at ?? 0).getTimezoneOffset() === 0
    if (isUtc || each.args.day) expect(say(each)).toBe(each.says)
  }
  for (const each of vectors.written) expect(say(each)).toBe(each.says)
})

it.each(vectors.refused)('refuses %s', (message) => {
  expect(() => parse(message)).toThrow(SyntaxError)
  expect(() => new IntlMessageFormat(message, 'en-GB').format({ n: 1, a: 1 })).toThrow()
})

it.each(vectors.stricter)('refuses %s, which intl-messageformat lets pass and ICU does not', (message) => {
  expect(() => parse(message)).toThrow(SyntaxError)
})

it('keeps elements among the words as they are, and says what is missing', () => {
  const element = { type: 'b' }
  expect(pieces('Held by {who}, {n} times', { who: element, n: 3 })).toEqual([
    'Held by ',
    element,
    ', ',
    '3',
    ' times',
  ])
  expect(() => t('{n} left' as '{n} left', {} as { n: number })).toThrow(/argument n is missing/)
})
