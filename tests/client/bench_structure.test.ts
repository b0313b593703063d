/** Something added or taken out at the bench: comments, order and quotes of all else stay, byte for byte. */
import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { asFlow, fromFlow } from '@client/screens/bench/flow'
import { freshName, memberOf, proofOf } from '@client/screens/bench/starters'
import { lengthAt, readSource, wordsAt } from '@client/screens/bench/edits'
import { without, withAll, withInserted, withValue, type Value } from '@client/screens/bench/structure'

const SOURCE = `# Invented.
id: tiny
tools: {wrench: {label: 'one, two', low: 5}}   # a board
steps:
  # The first one.
  - id: first
    number: 1   # kept
    says:
      - "a"
      - >-
        long,
        longer
    proof: [{name: one, kind: confirm}, {name: two, kind: photo}]

  # The second.
  - id: second
    number: 2
    # Said by nobody.
    title: Loose
ends:
  done: {}
`

/** What a change took away and brought, as lines. */
function changed(path: Parameters<typeof withValue>[1], value?: Value): { gone: string[]; come: string[] } {
  const after = value === undefined ? without(SOURCE, path) : withValue(SOURCE, path, value)
  const [was, now] = [SOURCE.split('\n'), after!.split('\n')]
  return {
    gone: was.filter((line) => !now.includes(line)),
    come: now.filter((line) => !was.includes(line)),
  }
}

it('adds a field behind the others, of a list and of braces', () => {
  expect(changed(['steps', 0, 'caution'], { sign: 'warning', says: 'Hot, very' })).toEqual({
    gone: [],
    come: ['    caution: {sign: warning, says: "Hot, very"}'],
  })
  expect(changed(['tools', 'wrench', 'high'], '50')).toEqual({
    gone: ["tools: {wrench: {label: 'one, two', low: 5}}   # a board"],
    come: ["tools: {wrench: {label: 'one, two', low: 5, high: 50}}   # a board"],
  })
})

it('adds to a list, which it makes where there is none', () => {
  expect(changed(['steps', 0, 'says', 2], 'b').come).toEqual(['      - b'])
  expect(changed(['steps', 0, 'proof', 2], { name: 'three', kind: 'wait' }).come).toEqual([
    '    proof: [{name: one, kind: confirm}, {name: two, kind: photo}, {name: three, kind: wait}]',
  ])
  expect(changed(['steps', 1, 'says', 0], 'b').come).toEqual(['    says: [b]'])
  expect(changed(['steps', 1, 'picture', 'crop'], { left_percent: '5' }).come).toEqual([
    '    picture:',
    '      crop: {left_percent: 5}',
  ])
})

it('adds a step behind the last', () => {
  const after = withValue(SOURCE, ['steps', 2], { id: 'third', number: '3', says: ['x'] })!
  expect(after).toBe(SOURCE.replace('ends:', '  - id: third\n    number: 3\n    says: [x]\nends:'))
})

it('puts a step before another, above its comments, and a word among braces', () => {
  const after = withInserted(SOURCE, ['steps'], 1, { id: 'between', says: ['x'] })!
  expect(after).toBe(SOURCE.replace('  # The second.', '  - id: between\n    says: [x]\n  # The second.'))
  const first = withInserted(SOURCE, ['steps', 0, 'proof'], 0, 'zero')!
  expect(first).toBe(SOURCE.replace('proof: [{name: one', 'proof: [zero, {name: one'))
  expect(withInserted(SOURCE, ['steps'], 2, { id: 'last' })).toBe(
    SOURCE.replace('ends:', '  - {id: last}\nends:'),
  )
})

it('makes several changes or none', () => {
  const after = withAll(SOURCE, [
    [['steps', 1, 'title'], null],
    [['steps', 1, 'act'], 'Done'],
    [['steps', 1, 'hint'], null],
  ])!
  expect(after).toBe(SOURCE.replace('    # Said by nobody.\n    title: Loose\n', '    act: Done\n'))
  expect(withAll('a: [', [[['a'], 'b']])).toBeNull()
})

it('reads lists and mappings that are typed into one field, and says them so', () => {
  expect(fromFlow('crank, "a, b"', 'list')).toEqual(['crank', 'a, b'])
  expect(fromFlow('gear: neutral, brake: [on, off]', 'mapping')).toEqual({
    gear: 'neutral',
    brake: ['on', 'off'],
  })
  expect(fromFlow('gear', 'mapping')).toBeNull()
  expect(fromFlow('a]', 'list')).toBeNull()
  for (const typed of ['a, b', 'gear: neutral, brake: [on, off]', ''])
    expect(asFlow(fromFlow(typed, typed.includes(':') ? 'mapping' : 'list'))).toBe(typed)
})

it('begins each sort of proof with what the workshop asks of it', () => {
  // As `PROOF_FIELDS` of the server has it; the check itself says the rest.
  const needed = { reading: 'unit', count: 'target', wait: 'low', choice: 'options' } as const
  for (const [kind, field] of Object.entries(needed))
    expect(proofOf(kind as keyof typeof needed, 'proof')).toHaveProperty(field)
  expect(freshName('proof', ['proof', 'proof_2'])).toBe('proof_3')
})

it('adds a lock to those of all blocks, named as none is yet', () => {
  const source = 'fill_in:\n  locks:   # two\n    - {lock: lock, tool: l1, holds: the crankshaft}\n'
  const fields = [
    { name: 'lock', kind: 'name' },
    { name: 'tool', kind: 'name' },
    { name: 'holds', kind: 'words' },
  ]
  const after = withValue(source, ['fill_in', 'locks', 1], memberOf(fields, ['lock']))
  expect(after).toBe(`${source}    - {lock: lock_2, tool: tool, holds: to be written}\n`)
  expect(without(after!, ['fill_in', 'locks', 1])).toBe(source)
  // In a block that has none yet, and among braces.
  expect(withValue('blocks:\n  covers: {}\n', ['blocks', 'covers', 'locks', 0], memberOf(fields, []))).toBe(
    'blocks:\n  covers: {locks: [{lock: lock, tool: tool, holds: to be written}]}\n',
  )
})

it('takes out a field with the comments above it, the first of an item, and one among braces', () => {
  expect(changed(['steps', 1, 'title']).gone).toEqual(['    # Said by nobody.', '    title: Loose'])
  expect(without(SOURCE, ['steps', 1, 'id'])).toBe(SOURCE.replace('- id: second\n    number', '- number'))
  for (const [at, left] of [
    [0, '[{name: two, kind: photo}]'],
    [1, '[{name: one, kind: confirm}]'],
  ] as const)
    expect(changed(['steps', 0, 'proof', at]).come).toEqual([`    proof: ${left}`])
  expect(changed(['tools', 'wrench']).come).toEqual(['tools: {}   # a board'])
})

it('takes out a step, a text over several lines, and a list with its last item', () => {
  const after = without(SOURCE, ['steps', 1])!
  expect(after).not.toContain('second')
  expect(after).toContain('  # The first one.\n')
  expect(lengthAt(readSource(after)!, ['steps'])).toBe(1)
  expect(changed(['steps', 0, 'says', 1]).gone).toEqual(['      - >-', '        long,', '        longer'])
  const bare = without(without(SOURCE, ['steps', 0, 'says', 1])!, ['steps', 0, 'says', 0])!
  expect(wordsAt(readSource(bare)!, ['steps', 0, 'number'])).toBe('1')
  expect(bare).not.toContain('says')
})

it('gives another value in the place of one', () => {
  expect(changed(['steps', 1, 'title'], 'Tight').come).toEqual(['    title: Tight'])
  expect(changed(['steps', 0, 'says'], ['x']).come).toEqual(['    says: [x]'])
})

it('changes nothing where it cannot', () => {
  expect(without(SOURCE, ['steps', 7])).toBeNull()
  expect(without('a: [', ['a'])).toBeNull()
  expect(withValue('a: [', ['a'], 'b')).toBeNull()
})

it('does so in a whole procedure', () => {
  const folder = new URL('../../demo_jobs/van-timing-drive/procedure.yaml', import.meta.url)
  const whole = readFileSync(folder, 'utf8')
  const document = readSource(whole)!
  const count = lengthAt(document, ['steps'])
  const own = [...Array(count).keys()].filter((at) => lengthAt(document, ['steps', at]) === 0)
  for (const at of [own[0]!, own.at(-1)!]) {
    const because = withValue(whole, ['steps', at, 'because'], 'So: it is said.')!
    expect(wordsAt(readSource(because)!, ['steps', at, 'because'])).toBe('So: it is said.')
    expect(lengthAt(readSource(without(whole, ['steps', at])!)!, ['steps'])).toBe(count - 1)
  }
  // Names of steps that a block brings: no field can be put into them.
  expect(withValue('steps:\n  - [a, b]\n', ['steps', 0, 'because'], 'x')).toBeNull()
})
