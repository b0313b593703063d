/**
 * Facts for an invoice, out of the record: what was put in, how long it took, what was found and agreed. Pure.
 * There is no price here, and none is made up: a workshop's own invoice takes these and adds them.
 */
import type { Ref } from '../ledger/bodies'
import { type DialUnit, dialUnitOf, onDial } from './dial-unit'
import { kmWords } from './format'
import { foundIn, type FoundNow } from './found'
import { extraWords, wayWords } from './found-words'
import { customerOf, dayOf, odometerOf } from './hand-over'
import { jobCode } from './job-code'
import { capital } from './letters'
import { litres, partsIn, usedOnce } from './parts-used'
import type { JobRecord } from './record'
import { timeSpent } from './time-spent'
import * as words from '../words/en/work/invoice'
import { t } from '../words/message'

/** One line. Private words stand in `value`, everything else in clear; an empty text is a cell that says nothing. */
export interface Fact {
  section: string
  item: string
  article: string
  lot: string
  quantity: string
  unit: string
  /** Days or times as they were written down. */
  from: string
  to: string
  says: string
  value?: Ref
}

/** What a table of them has, in order, under its head. */
const COLUMNS = [
  ['section', t(words.section)],
  ['item', t(words.item)],
  ['article', t(words.article)],
  ['lot', t(words.lot)],
  ['quantity', t(words.quantity)],
  ['unit', t(words.unit)],
  ['from', t(words.from)],
  ['to', t(words.to)],
  ['says', t(words.says)],
] as const

const fact = (section: string, item: string, rest: Partial<Fact> = {}): Fact => ({
  section,
  item,
  article: '',
  lot: '',
  quantity: '',
  unit: '',
  from: '',
  to: '',
  says: '',
  ...rest,
})

/** As the dial shows it; what the record has, in words beside it where that is another figure. */
const distanceRead = (km: number, unit: DialUnit): Partial<Fact> =>
  unit === 'mi'
    ? { quantity: String(onDial(km, unit)), unit: t(words.miles), says: kmWords(km) }
    : { quantity: String(km), unit: 'km' }

function jobFacts(record: JobRecord): Fact[] {
  const section = t(words.job)
  const { row, bundle, held } = record
  const [customer, km] = [customerOf(record), odometerOf(record)]
  return [
    fact(section, t(words.code), { says: jobCode(row.job), from: row.openedAt, to: dayOf(record) ?? '' }),
    fact(section, t(words.vehicle), { says: bundle.vehicle }),
    fact(section, t(words.plate), { value: row.plate }),
    fact(section, t(words.odometer), km > 0 ? distanceRead(km, dialUnitOf(held)) : { unit: 'km' }),
    fact(section, t(words.customer), customer ? { value: customer } : { says: t(words.customerMissing) }),
  ]
}

const none = (section: string): Fact[] => [fact(section, t(words.notFound))]

const orNone = (section: string, facts: Fact[]): Fact[] => (facts.length > 0 ? facts : none(section))

function partFacts(record: JobRecord): Fact[] {
  const [parts, once, coolant] = [t(words.parts), t(words.once), t(words.coolant)]
  return [
    ...orNone(
      parts,
      partsIn(record).map(({ label, article, lot, serial, recalled }) =>
        fact(parts, capital(label), {
          article: article ?? '',
          lot,
          quantity: '1',
          says: [serial, recalled].filter(Boolean).join(' '),
        }),
      ),
    ),
    ...orNone(
      once,
      usedOnce(record).map(({ label, count }) => fact(once, capital(label), { quantity: String(count) })),
    ),
    ...orNone(
      coolant,
      litres(record).map(({ label, value, unit }) =>
        fact(coolant, capital(label), { quantity: value, unit }),
      ),
    ),
  ]
}

function timeFacts(record: JobRecord): Fact[] {
  const { phases, minutes, pauses, back } = timeSpent(record)
  const [time, rest] = [t(words.time), t(words.pauses)]
  return [
    ...phases.map(({ name, minutes: each }) =>
      fact(time, t(words.phase, { name }), { quantity: String(each), unit: 'min' }),
    ),
    fact(time, t(words.allWork), { quantity: String(minutes), unit: 'min' }),
    ...pauses.map(({ from, to, minutes: each, isParked }) =>
      fact(rest, t(isParked ? words.parked : words.quiet), { quantity: String(each), unit: 'min', from, to }),
    ),
    ...(back > 0 ? [fact(rest, t(words.clocks), { says: t(words.wentBack, { n: back }) })] : []),
  ]
}

const ANSWERS = { yes: t(words.saidYes), no: t(words.saidNo) } as const

/** A finding, the customer's words on it, and the work that was added for it. */
function findingFacts(section: string, { at, offered, words: found, answers, extras }: FoundNow): Fact[] {
  const noted = { from: at, says: offered ?? '', ...(found ? { value: found } : {}) }
  return [
    fact(section, t(words.foundHere), noted),
    ...answers.map(({ at: from, body }) =>
      fact(section, ANSWERS[body.answer], {
        from,
        says: wayWords(body.how),
        ...(body.words ? { value: body.words } : {}),
      }),
    ),
    ...extras.map((extra) =>
      fact(section, t(words.addedWork), {
        article: extra.part ?? '',
        // What was not done is no time to be paid for: its minutes stand in words alone.
        ...(extra.state === 'done' && extra.minutes !== null
          ? { quantity: String(extra.minutes), unit: 'min' }
          : {}),
        says: extraWords(extra),
        value: extra.what,
      }),
    ),
  ]
}

function foundFacts({ steps, held, bundle }: JobRecord): Fact[] {
  const section = t(words.found)
  const facts = steps.flatMap(({ failures, passes, gaps }) => [
    ...failures.map(({ held: { entry }, says }) =>
      fact(section, t(words.didNotHold), { says, from: entry.at }),
    ),
    ...passes.map(({ rule, because }) => fact(section, t(words.passedBy), { says: rule, value: because })),
    ...gaps.map(({ held: { entry }, because }) =>
      fact(section, t(words.notProven), { from: entry.at, value: because }),
    ),
  ])
  const found = foundIn(held, bundle).found.flatMap((each) => findingFacts(section, each))
  return orNone(section, [...found, ...facts])
}

export const invoiceFacts = (record: JobRecord): Fact[] => [
  ...jobFacts(record),
  ...partFacts(record),
  ...timeFacts(record),
  ...foundFacts(record),
]

/**
 * The facts as rows of cells, with their head.
 *
 * @param textOf the words of a private value, or what stands in their place where they are not here
 */
export const invoiceTable = (facts: readonly Fact[], textOf: (ref: Ref) => string): string[][] => [
  COLUMNS.map(([, head]) => head),
  ...facts.map((each) =>
    COLUMNS.map(([column]) =>
      column === 'says' && each.value
        ? [each.says, textOf(each.value)].filter(Boolean).join(' ')
        : each[column],
    ),
  ),
]
