/** Steps that a block brings, changed by the form: what is changed is said in the procedure, all else stays. */
import { expect, it } from 'vitest'
import { lengthAt, readSource, wordsAt } from '@client/screens/bench/edits'
import { listedSteps, withStepEntry } from '@client/screens/bench/listed-steps'
import { listOf, membersOf, saidOf, saying, type Part } from '@client/screens/bench/step-part'
import { withAll } from '@client/screens/bench/structure'
import { bundle } from './baywork'

const SOURCE = `steps:
  - [first, second,   # both by hand
     # and slowly
     third]   # kept
  - fourth   # alone
  # The own one.
  - id: own
    title: Own
ends: {}
`

it('lists the steps of blocks in their places, ways back last', () => {
  const undo = bundle.steps.find((step) => step.undo)!
  const listed = listedSteps(readSource(SOURCE)!, bundle)
  expect(listed.slice(0, 5).map(({ name, at, stands }) => [name, at, stands])).toEqual([
    ['first', null, ['steps', 0, 0]],
    ['second', null, ['steps', 0, 1]],
    ['third', null, ['steps', 0, 2]],
    ['fourth', null, ['steps', 1]],
    ['own', ['steps', 2], ['steps', 2]],
  ])
  expect(listed.slice(5).every(({ at }) => at === null)).toBe(true)
  expect(listed.map(({ name }) => name)).toContain(undo.id)
  expect(listed.find(({ name }) => name === undo.id)!.says).toBe(`${undo.number} ${undo.title}`.trim())
})

it.each([
  ['fourth', '  - fourth   # alone', '  - step: fourth   # alone'],
  [
    'first',
    '  - [first, second,   # both by hand\n     # and slowly\n     third]   # kept',
    '  - step: first\n  - [second,   # both by hand\n     # and slowly\n     third]   # kept',
  ],
  [
    'second',
    '  - [first, second,   # both by hand\n     # and slowly\n     third]   # kept',
    '  - [first]\n  - step: second   # both by hand\n  # and slowly\n  - [third]   # kept',
  ],
  [
    'third',
    '  - [first, second,   # both by hand\n     # and slowly\n     third]   # kept',
    '  - [first, second]   # both by hand\n  # and slowly\n  - step: third   # kept',
  ],
  ['way_back', 'ends:', '  - step: way_back\nends:'],
])('gives %s an entry of its own where it stands', (name, was, is) => {
  expect(withStepEntry(SOURCE, name)).toBe(SOURCE.replace(was, is))
})

it('makes no entry where there is no list to put it in', () => {
  expect(withStepEntry('steps: [a, b]\n', 'a')).toBeNull()
  expect(withStepEntry('steps: [', 'a')).toBeNull()
  expect(withStepEntry('steps:\n  -\n    - a\n    - b\n', 'a')).toBeNull()
})

const BELOW = {
  title: 'From the block',
  says: ['one', 'two'],
  proof: [{ name: 'seen', kind: 'choice', label: 'seen', options: [{ id: 'good', says: 'Good' }] }],
  fails: [{ id: 'stuck', says: 'It sticks', then: 'Oil.' }],
}
const ENTRY = 'steps:\n  - step: first   # kept\n'
const part: Part = { at: ['steps', 0], below: BELOW, named: [] }

it('shows what a block says, and writes what is changed of it under the entry', () => {
  const document = readSource(ENTRY)!
  expect(saidOf(document, part, 'title')).toEqual({ words: 'From the block', isBelow: true })
  expect(listOf(document, part, 'says')).toEqual({ words: ['one', 'two'], isBelow: true })
  const after = withAll(ENTRY, saying(part, 'title', 'Mine'))!
  expect(after).toBe(`${ENTRY}    title: Mine\n`)
  expect(saidOf(readSource(after)!, part, 'title')).toEqual({ words: 'Mine', isBelow: false })
})

it('names the member that it changes, so that the workshop knows which it is', () => {
  const [proof] = membersOf(readSource(ENTRY)!, part, 'proof', 'name')
  const [option] = membersOf(readSource(ENTRY)!, proof!.part, 'options', 'id')
  const after = withAll(ENTRY, saying(option!.part, 'says', 'Very good'))!
  expect(readSource(after)!.toJS()).toEqual({
    steps: [{ step: 'first', proof: [{ name: 'seen', options: [{ id: 'good', says: 'Very good' }] }] }],
  })
  // Of one that is named already only the field is put in.
  const [again] = membersOf(readSource(after)!, part, 'proof', 'name')
  expect(again!.isHere).toBe(true)
  const more = withAll(after, saying(again!.part, 'label', 'what is seen'))!
  expect(lengthAt(readSource(more)!, ['steps', 0, 'proof'])).toBe(1)
  expect(wordsAt(readSource(more)!, ['steps', 0, 'proof', 0, 'label'])).toBe('what is seen')
})

it('says how a failure leaves things, of a block and of its own', () => {
  const [stuck] = membersOf(readSource(ENTRY)!, part, 'fails', 'id')
  const after = withAll(ENTRY, saying(stuck!.part, 'leaves', { cap: 'closed' }))!
  expect(readSource(after)!.toJS()).toEqual({
    steps: [{ step: 'first', fails: [{ id: 'stuck', leaves: { cap: 'closed' } }] }],
  })
})
