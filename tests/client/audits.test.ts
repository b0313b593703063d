/** Samples and findings out of a workshop's statements. The rules are formats.md's, section 8, "Sample". */
import { expect, it } from 'vitest'
import { whoWorked } from '@client/work/who-worked'
import { auditFindingsOf, NOTHING_WANTED, samplesOf, unanswered, wantedOf } from '@client/work/audits'
import type { Held } from '@client/store'

let count = 0
function held(kind: string, body: object, more: Partial<Held> = {}): Held {
  const index = count++
  const entry = { id: `${kind} ${index}`, kind, body, person: 'cora', at: '2026-11-24T12:00:00.000Z' }
  return { entry, standing: 'good', index, ...more } as unknown as Held
}

const list = { size: 5, root: 'ab', filter: {}, jobs: ['one', 'two'] }

it('takes the first word that was given after the list stood in the ledger', () => {
  const early = held('audit.drawn', { freeze: 'audit.frozen 1', word: 'early', count: 1 })
  const frozen = held('audit.frozen', list)
  const first = held('audit.drawn', { freeze: frozen.entry.id, word: 'first', count: 1 })
  const second = held('audit.drawn', { freeze: frozen.entry.id, word: 'second', count: 1 })
  const [sample] = samplesOf([early, frozen, first, second])
  expect(sample!.drawn?.entry.body.word).toBe('first')
})

it('takes no word of another auditor than the one who froze, and no closing of another than who found', () => {
  const other = (one: Held) => ({ ...one, entry: { ...one.entry, person: 'dora' } }) as Held
  const frozen = held('audit.frozen', list)
  const hers = other(held('audit.drawn', { freeze: frozen.entry.id, word: 'hers', count: 1 }))
  const own = held('audit.drawn', { freeze: frozen.entry.id, word: 'own', count: 1 })
  expect(samplesOf([frozen, hers])[0]!.drawn).toBeNull()
  expect(samplesOf([frozen, hers, own])[0]!.drawn?.entry.body.word).toBe('own')
  const found = held('audit.found', { text: { blob: 'a' } })
  const closed = held('audit.closed', { finding: found.entry.id })
  expect(auditFindingsOf([found, other(closed)])[0]!.closed).toBeNull()
  expect(auditFindingsOf([found, other(closed), closed])[0]!.closed).not.toBeNull()
})

it('has no draw of a list that is not in the ledger yet, nor of a word by who may not give one', () => {
  const waiting = held('audit.frozen', list, { index: null, place: 'phone' })
  const word = held('audit.drawn', { freeze: waiting.entry.id, word: 'heron', count: 1 })
  expect(samplesOf([waiting, word])[0]!.drawn).toBeNull()
  const frozen = held('audit.frozen', list)
  const doubted = held(
    'audit.drawn',
    { freeze: frozen.entry.id, word: 'w', count: 1 },
    { standing: 'doubted' },
  )
  expect(samplesOf([frozen, doubted])[0]!.drawn).toBeNull()
})

it('keeps a finding open until its auditor closes it, whatever was answered', () => {
  const [text, reply] = [{ blob: 'a' }, { blob: 'b' }]
  const one = held('audit.found', { about: 'job', text })
  const other = held('audit.found', { text })
  const answered = held('audit.answered', { finding: one.entry.id, about: 'job', text: reply })
  const closed = held('audit.closed', { finding: other.entry.id })
  const found = auditFindingsOf([one, other, answered, closed])
  expect(found.map(({ id }) => id)).toEqual([one.entry.id, other.entry.id])
  expect(found[0]).toMatchObject({ about: 'job', closed: null, answers: [{ text: reply }] })
  expect(unanswered(found)).toEqual([])
  expect(unanswered(auditFindingsOf([one, other, closed])).map(({ id }) => id)).toEqual([one.entry.id])
  expect(found[1]).toMatchObject({ about: null, closed: { text: null }, answers: [] })
})

it('asks for what stands in the fields alone', () => {
  expect(wantedOf(NOTHING_WANTED)).toEqual({})
  expect(wantedOf({ ...NOTHING_WANTED, from: '2026-01-01', engine: ' PL-8 ', lot: 'L1' })).toEqual({
    days: ['2026-01-01', '9999-12-31'],
    engine_code: 'PL-8',
    lot: 'L1',
  })
  expect(wantedOf({ ...NOTHING_WANTED, to: '2026-06-30' }).days).toEqual(['2000-01-01', '2026-06-30'])
})

it('says who worked from which day to which, in the order in which they began', () => {
  const wrote = (person: string, day: string, standing = 'good') =>
    ({ entry: { person, at: `${day}T12:00:00.000Z` }, standing }) as unknown as Held
  const log = [
    wrote('cleo', '2026-11-25'),
    wrote('ada', '2026-11-24'),
    wrote('cleo', '2026-11-27'),
    wrote('cleo', '2026-11-26'),
    wrote('lost', '2026-11-20', 'doubted'),
  ]
  expect(whoWorked(log)).toEqual([
    { person: 'ada', from: '2026-11-24', to: '2026-11-24' },
    { person: 'cleo', from: '2026-11-25', to: '2026-11-27' },
  ])
})
