/** The form changes a source in one place: comments, order and quotes stay, byte for byte. */
import { expect, it } from 'vitest'
import { readSource, withMoved, withWords, wordsAt } from '@client/screens/bench/edits'
import { changeBetween, placeOf, stepAt } from '@client/screens/bench/source'

const SOURCE = `# Invented.
id: tiny
name:   A tiny drive   # said on the phone
tools: {wrench: {label: 'one, two', low: 5}}
steps:
  # The first one.
  - id: first
    number: 1
    says: ["a"]   # kept

  - id: second
    number: 2
    title: Loose
ends:
  done: {}
`

it('changes the words of one place and nothing else', () => {
  const changed = withWords(SOURCE, ['name'], 'Another: drive')
  expect(changed).toBe(SOURCE.replace('A tiny drive', '"Another: drive"'))
  expect(withWords(SOURCE, ['name'], 'A tiny drive')).toBe(SOURCE)
})

it('quotes what would end the words where they stand', () => {
  const changed = withWords(SOURCE, ['tools', 'wrench', 'label'], 'one, [two]')!
  expect(wordsAt(readSource(changed)!, ['tools', 'wrench', 'label'])).toBe('one, [two]')
  expect(wordsAt(readSource(changed)!, ['tools', 'wrench', 'low'])).toBe('5')
})

it('moves a step with the comments above it, and numbers stay in their places', () => {
  const moved = withMoved(SOURCE, ['steps'], 0, 1)!
  const read = readSource(moved)!
  expect([wordsAt(read, ['steps', 0, 'id']), wordsAt(read, ['steps', 1, 'id'])]).toEqual(['second', 'first'])
  expect([wordsAt(read, ['steps', 0, 'number']), wordsAt(read, ['steps', 1, 'number'])]).toEqual(['1', '2'])
  expect(moved).toContain('  # The first one.\n  - id: first\n')
  expect(moved).toContain('# kept')
  expect(moved.endsWith('ends:\n  done: {}\n')).toBe(true)
  expect(withMoved(moved, ['steps'], 1, -1)).toBe(SOURCE)
  expect(withMoved(SOURCE, ['steps'], 0, -1)).toBe(null)
})

it('reads no form off what is no YAML', () => {
  expect(readSource('a: [')).toBe(null)
})

it('knows the step of a line in text that is half written', () => {
  expect([1, 7, 9, 13, 15].map((line) => stepAt(SOURCE, line))).toEqual([
    null,
    'first',
    'first',
    'second',
    null,
  ])
})

it('finds what changed, and where a finding stands', () => {
  expect(changeBetween('abcd', 'abXd')).toEqual({ from: 2, to: 3, insert: 'X' })
  expect(SOURCE.slice(placeOf(SOURCE, 7).from, placeOf(SOURCE, 7).to)).toBe('- id: first')
  expect(placeOf('a', 9)).toEqual({ from: 1, to: 1 })
})
