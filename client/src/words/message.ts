/**
 * Sentences with arguments: the part of ICU MessageFormat that our sentences use, over `Intl`.
 *
 *     t('{n, plural, one {# step left} other {# steps left}}', { n: 3 })    // '3 steps left'
 *
 * Of ICU it has: `{name}`; `plural` with `=N` and `#`; `select`; `number`, also with a fixed fraction (`::.00`);
 * `date, medium`; `time, short`; `''` and quoted braces. `server/twoturns/words/message.py` is its twin without dates,
 * `tests/vectors/messages.json` holds both to one another and to `intl-messageformat`.
 * Two things are ours: digits are grouped by a narrow space (SI Brochure, 9th edition, 5.4.4), never by a comma, and a
 * clock that names no time is shown as it was written. Names and kinds of arguments are read from the sentence
 * by the compiler (`ArgsOf`): a missing one, or one of the wrong kind, does not compile.
 */

export const LOCALE = 'en-GB'

/** Between groups of three digits. */
const GROUP = '\u202f'

/** `YYYY-MM-DD` is that day wherever it is read; an `at` or milliseconds are shown by this device's clock and zone. */
export type Moment = string | number | Date

interface Kinds {
  plain: string | number
  plural: number
  number: number
  select: string | boolean
  date: Moment
  time: Moment
}

/** The first brace of a text: which, what stands before it, what after. */
type Brace<S extends string> = S extends `${infer Before}{${infer After}`
  ? Before extends `${infer Sooner}}${infer Later}`
    ? ['}', Sooner, `${Later}{${After}`]
    : ['{', Before, After]
  : S extends `${infer Before}}${infer After}`
    ? ['}', Before, After]
    : ['', S, '']

/** `[name, kind]` of each argument, as a union. In a text a brace that closes ends a branch; among branches, the argument. */
type InText<S extends string, Found> =
  Brace<S> extends [infer Which, string, infer Rest extends string]
    ? Which extends '{'
      ? InArgument<Rest, Found>
      : Which extends '}'
        ? InBranches<Rest, Found>
        : Found
    : never
type InBranches<S extends string, Found> =
  Brace<S> extends [infer Which, string, infer Rest extends string]
    ? Which extends ''
      ? never
      : InText<Rest, Found>
    : never
type InArgument<S extends string, Found> =
  Brace<S> extends [string, infer Said extends string, infer Rest extends string]
    ? Said extends `${infer Name}, ${infer Kind}, ${string}`
      ? InText<Rest, Found | [Name, Kind]>
      : Said extends `${infer Name}, ${infer Kind}`
        ? InText<Rest, Found | [Name, Kind]>
        : InText<Rest, Found | [Said, 'plain']>
    : never

type Both<U> = (U extends unknown ? (one: U) => void : never) extends (all: infer A) => void ? A : never
type Members<Found, Plain> = {
  [Name in Found extends [infer N extends string, string] ? N : never]: Both<
    Found extends [Name, infer Kind extends keyof Kinds]
      ? [Kind extends 'plain' ? Plain : Kinds[Kind]]
      : never
  > extends [infer Value]
    ? Value
    : never
}

/** The arguments of a sentence; of one that is not known to the compiler, none that can be given. */
export type ArgsOf<M extends string, Plain = Kinds['plain']> = string extends M
  ? never
  : Members<InText<M, never>, Plain>
type Given<M extends string, Plain = Kinds['plain']> = [InText<M, never>] extends [never]
  ? string extends M
    ? [never]
    : []
  : [args: ArgsOf<M, Plain>]

type Branches = Readonly<Record<string, readonly Piece[]>>
interface Argument {
  name: string
  kind: keyof Kinds
  /** Digits after the point that a number is given; null leaves them as they are. */
  digits: number | null
  branches: Branches
}
/** `null` is the `#` of a plural. */
type Piece = string | Argument | null

const TEXT = /''|'([{}](?:[^']|'')*)(?:'(?!')|$)|[^'{}]+|'/y
const TEXT_OF_PLURAL = /''|'([{}#](?:[^']|'')*)(?:'(?!')|$)|[^'{}#]+|'|(#)/y
const ARGUMENT = /\{(\w+)(?:, (?:(plural|select),|(number)(?:, ::\.(0+))?|(date), medium|(time), short))?/y
const BRANCH = /\s*(=\d+|\w+)\s*\{/y
const CLOSE = /\s*\}/y

/** @throws {SyntaxError} where the message is none of our part of ICU's */
export function parse(message: string): readonly Piece[] {
  let at = 0
  const take = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = at
    const found = pattern.exec(message)
    if (found) at = pattern.lastIndex
    return found
  }
  const need = <T>(found: T | null | undefined | false, what: string): T => {
    if (!found) throw new SyntaxError(`${what} expected at character ${at} of: ${message}`)
    return found
  }
  const branchesOf = (kind: string): Branches => {
    const found: Record<string, readonly Piece[]> = {}
    for (let key = take(BRANCH); key; key = take(BRANCH)) {
      found[key[1]!] = piecesOf(kind === 'plural' ? TEXT_OF_PLURAL : TEXT)
      need(take(CLOSE), 'a closing brace')
    }
    need(found.other, 'a branch "other"')
    return found
  }
  const argument = (): Argument => {
    const [, name = '', choice, number, zeros, date, time] = need(take(ARGUMENT), 'an argument')
    const kind = (choice ?? number ?? date ?? time ?? 'plain') as keyof Kinds
    const branches = choice ? branchesOf(choice) : {}
    need(take(CLOSE), 'a closing brace')
    return { name, kind, digits: zeros?.length ?? null, branches }
  }
  const piecesOf = (text: RegExp): Piece[] => {
    const pieces: Piece[] = []
    for (;;) {
      const found = take(text)
      if (found) pieces.push(textOf(found))
      else if (message[at] === '{') pieces.push(argument())
      else return pieces
    }
  }
  const pieces = piecesOf(TEXT)
  need(at === message.length, 'the end')
  return pieces
}

const textOf = ([all, quoted, count]: RegExpExecArray): string | null =>
  count ? null : (quoted?.replaceAll("''", "'") ?? (all === "''" ? "'" : all))

/** How a language counts, and writes numbers, days and times. */
export interface Language {
  plural: (count: number) => string
  number: (value: number, digits: number | null) => string
  date: (moment: Moment) => string
  time: (moment: Moment) => string
}

export function languageOf(locale: string): Language {
  const plurals = new Intl.PluralRules(locale)
  const day = new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', year: 'numeric' })
  const hour = new Intl.DateTimeFormat(locale, { hour: '2-digit', minute: '2-digit' })
  const numbers = new Map<number | null, Intl.NumberFormat>()
  const numberFormat = (digits: number | null): Intl.NumberFormat => {
    const fixed = digits === null ? {} : { minimumFractionDigits: digits, maximumFractionDigits: digits }
    const format = numbers.get(digits) ?? new Intl.NumberFormat(locale, fixed)
    numbers.set(digits, format)
    return format
  }
  return {
    plural: (count) => plurals.select(count),
    number: (value, digits) =>
      numberFormat(digits)
        .formatToParts(value)
        .map(({ type, value: said }) => (type === 'group' ? GROUP : said))
        .join(''),
    date: (moment) => momentWords(moment, day),
    time: (moment) => momentWords(moment, hour),
  }
}

function momentWords(moment: Moment, format: Intl.DateTimeFormat): string {
  const isDay = typeof moment === 'string' && moment.length === 10
  const time = new Date(isDay ? `${moment}T12:00:00` : moment)
  return Number.isNaN(time.getTime()) ? String(moment) : format.format(time)
}

/** Put arguments into a message: its text and its arguments in order, elements as they were given. */
export function filled<T>(
  language: Language,
  message: readonly Piece[],
  args: Record<string, unknown>,
  count = NaN,
): (string | T)[] {
  // biome-ignore lint/suspicious/useIterableCallbackReturn: each kind of piece has its case, as the type has it
  return message.flatMap((piece) => {
    if (typeof piece === 'string') return piece
    if (piece === null) return language.number(count, null)
    const { name, kind, digits, branches } = piece
    if (!(name in args)) throw new TypeError(`argument ${name} is missing`)
    const value = args[name]
    switch (kind) {
      case 'plain':
        return typeof value === 'number' ? String(value) : (value as string | T)
      case 'number':
        return language.number(value as number, digits)
      case 'date':
      case 'time':
        return language[kind](value as Moment)
      case 'select':
        return filled<T>(language, branches[String(value)] ?? branches.other!, args)
      case 'plural': {
        const n = value as number
        const branch = branches[`=${n}`] ?? branches[language.plural(n)] ?? branches.other!
        return filled<T>(language, branch, args, n)
      }
    }
  })
}

const english = languageOf(LOCALE)
const known = new Map<string, readonly Piece[]>()

function parsed(message: string): readonly Piece[] {
  const found = known.get(message) ?? parse(message)
  known.set(message, found)
  return found
}

/** Say a sentence of a catalogue: `t(words.stepsLeft, { n })`. */
export const t = <const M extends string>(message: M, ...[args]: Given<M>): string =>
  filled<string>(english, parsed(message), args ?? {}).join('')

/** What a group of the catalogue names, in its order; its sentences have no arguments. */
export const namesOf = <K extends string>(group: Readonly<Record<K, string>>): { id: K; name: string }[] =>
  (Object.keys(group) as K[]).map((id) => ({
    id,
    name: filled<string>(english, parsed(group[id]), {}).join(''),
  }))

/** The same by id. */
export const wordsOf = <K extends string>(group: Readonly<Record<K, string>>): Readonly<Record<K, string>> =>
  Object.fromEntries(namesOf(group).map(({ id, name }) => [id, name])) as Record<K, string>

/** The name that a group has for an id; where it has none the id itself, as words. */
export const nameIn = (names: readonly { id: string; name: string }[], id: string): string =>
  names.find((each) => each.id === id)?.name ?? id.replaceAll('_', ' ')

/** The same with elements among the words: `<p>{pieces(words.held, { by: <b>{name}</b> })}</p>`. */
export const pieces = <T, const M extends string = string>(
  message: M,
  args: ArgsOf<M, string | number | T>,
): (string | T)[] => filled<T>(english, parsed(message), args as Record<string, unknown>)
