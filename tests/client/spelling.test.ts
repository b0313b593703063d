/** One lot, one spelling: the keys as the vectors say, and every place of the app that compares lots or tools agrees. */
import { describe, expect, it } from 'vitest'
import vectors from '../vectors/spelling.json'
import { recallOf, recallsOf, lotRecalled } from '@client/work/recalls'
import { stopsOf } from '@client/work/stops'
import { readTag, wrenches } from '@client/work/wrenches'
import { checkRecall, checkTool } from '@client/screens/desk/drafts'
import { rowOfTool, toolsOf } from '@client/work/statements'
import type { Held } from '@client/store'
import { fittedIn, lotsOf, otherSpellings, rowOfLot } from '@client/work/lots'
import { lotKey, toolKey } from '@client/work/spelling'
import { traceRow } from '@client/work/trace'
import { Log, row } from './baywork'

describe('keys', () => {
  it('are as the vectors say', () => {
    for (const { text, lot, tool } of vectors)
      expect([text, lotKey(text), toolKey(text)]).toEqual([text, lot, tool])
  })
  it('drop every sign that Unicode calls a dash', () => {
    // PropList.txt, property Dash, as the engine has it.
    for (let sign = 0; sign <= 0x10ffff; sign++) {
      const text = String.fromCodePoint(sign)
      if (/\p{Dash}/u.test(text))
        expect([sign, lotKey(`TW${text}2`), toolKey(`TW${text}2`)]).toEqual([sign, 'TW2', 'TW2'])
    }
  })
})

/** The same numbers for the same seed: mulberry32, a public-domain generator. */
function chance(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state)
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296
  }
}

const next = chance(24)
const oneOf = <T>(from: readonly T[]): T => from[Math.floor(next() * from.length)]!
const DASHES = ['-', '\u2010', '\u2011', '\u2013', '\u2014', '\u2212', '_', ' ']
const SPACES = ['', '', '', ' ', '\u00a0', '\u2009', '\u200b', '\u00ad']

/** A name as somebody might write it: case, spaces, dashes, wide letters. */
const spelled = (name: string): string =>
  [...name]
    .map((sign) =>
      sign === '-'
        ? oneOf(DASHES)
        : oneOf([sign, sign.toLowerCase(), String.fromCodePoint(sign.codePointAt(0)! + 0xfee0)]) +
          oneOf(SPACES),
    )
    .join('')
    .normalize('NFC')
    .trim()

/** Three spellings of a name each time; every third time the first is another's. */
const written = (times: number, name: string, others: readonly string[]) =>
  Array.from({ length: times }, (_, at) => [
    at % 3 === 0 ? oneOf(others) : spelled(name),
    spelled(name),
    spelled(name),
  ])

const said = (kind: string, body: object) =>
  ({
    entry: { id: 'a'.repeat(64), kind, body, at: '2026-11-24T08:00:00.000Z' },
    standing: 'good',
  }) as unknown as Held

describe('a lot, however it is written', () => {
  const LOT = 'NH-24-0917'
  it.each(written(60, LOT, ['NH-24-0918', 'NH-24-091', 'HN-24-0917']))(
    'fitted as %j, recalled as %j, looked for as %j',
    (fitted, recalled, sought) => {
      const log = new Log()
      log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot: fitted })
      const statements = [said('lot.recalled', { lot: recalled, because: 'Teeth part.' })]
      const recalls = recallsOf(statements)
      const rows = lotsOf(fittedIn(row, log.held), recalls)
      const isSame = lotKey(fitted) === lotKey(LOT)
      const places = {
        'the bay refuses it': lotRecalled(statements, fitted) !== null,
        'the bay stops at it': stopsOf(log.now([], undefined, statements)).length > 0,
        'the desk finds the recall': recallOf(recalls, fitted) !== null,
        'one row of the lots page': rows.length === 1,
        'the row that is looked for has the job': (rowOfLot(rows, sought)?.fitted.length ?? 0) > 0,
        'the trace has the job': traceRow(row, log.held, { by: 'lot', name: sought }) !== null,
        'the recall form knows it': !checkRecall({ lot: fitted, because: 'x', until: '' }, recalls).ok,
      }
      expect(places).toEqual(Object.fromEntries(Object.keys(places).map((place) => [place, isSame])))
    },
  )

  it('names the recall in its spelling and tells the others', () => {
    const log = new Log()
    for (const lot of ['nh 24 0917', 'NH-24-0917'])
      log.add('part.fitted', { step: 'pin_in', name: 'lot', part: 'belt', lot })
    const [found] = lotsOf(
      [...fittedIn(row, log.held.slice(0, 2)), ...fittedIn(row, log.held.slice(2))],
      recallsOf([said('lot.recalled', { lot: 'NH-24-0917', because: 'b' })]),
    )
    expect([found!.lot, otherSpellings(found!)]).toEqual(['NH-24-0917', ['nh 24 0917']])
  })
})

describe('a tool, however it is written', () => {
  const TOOL = 'TW-2'
  it.each(written(45, TOOL, ['TW-3', 'TW-21', 'TW.2']))(
    'used as %j, registered as %j, checked as %j',
    (used, registered, checked) => {
      const statements = [
        said('tool.registered', {
          tool: registered,
          type: 'torque_wrench',
          label: 'long',
          low: '10',
          high: '100',
          unit: 'N·m',
        }),
        said('tool.calibrated', { tool: checked, on: '2026-11-01', due: '2027-11-01' }),
      ]
      const log = new Log()
      log.add('reading.taken', { step: 'torque', name: 'torque', value: '26', unit: 'N·m', tool: used })
      const isSame = toolKey(used) === toolKey(TOOL)
      const entries = statements.map(({ entry }) => entry)
      expect(wrenches(entries, 'torque_wrench', '26', '2026-11-24').map(({ fit }) => fit)).toEqual([true])
      expect(toolsOf(statements, '2026-11-24').map(({ checks }) => checks.length)).toEqual([1])
      const places = {
        'its tag is read': readTag(entries, 'torque_wrench', used, '2026-11-24').is === 'fit',
        'its page': rowOfTool(toolsOf(statements, '2026-11-24'), used) !== null,
        'its trace': traceRow(row, log.held, { by: 'tool', name: registered }) !== null,
        'no second tool of its number': !checkTool(
          { tool: used, type: 'torque_wrench', label: 'x', low: '', high: '', unit: '', accuracy: '' },
          [registered],
        ).ok,
      }
      expect(places).toEqual(Object.fromEntries(Object.keys(places).map((place) => [place, isSame])))
    },
  )
})
