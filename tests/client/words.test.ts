/** Every sentence that a person reads stands in `client/src/words/en`, each is used, and each is a message. */
import { readFileSync, readdirSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { parse } from '@client/words/message'
import { childrenOf, isTree, sentencesIn, treeOf, type Tree } from './sentences'

const here = dirname(fileURLToPath(import.meta.url))
const SOURCES = resolve(here, '../../client/src')
const CATALOGUE = join(SOURCES, 'words', 'en')

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.tsx?$/.test(path) && !/(^|\/)peer\.ts$/.test(path))
    .map((path) => path.replaceAll('\\', '/'))
    .sort()

const read = (path: string) => readFileSync(join(SOURCES, path), 'utf8')
const sources = filesIn(SOURCES).filter((path) => !path.startsWith('words/'))

/** Sources whose texts are not said to a person in a language, and what they are. */
const NOT_SAID: Record<string, string> = {
  'bag/head.ts': 'a format: the head of a job, as it is signed',
  'bag/layout.ts': 'a format: names and tag files of a bag',
  'instruments/pluck-cli.ts': 'a command for a programmer',
  'instruments/pluck-wav.ts': 'reads files for that command and for tests',
  'instruments/scan.worker.ts': 'a mode of the decoder',
  'ledger/bodies.ts': "written from the server's catalogue, as it is said there",
  'procedure/fold.ts': 'codes of what is odd about an entry',
  'screens/bench/editor.tsx': 'styles of the editor, which takes them as text',
  'store/downloads.ts': 'keys of storage',
  'store/ledger-copy.ts': 'which entries contradict each other: the cause of an error',
  'store/remote.ts': 'why a worker was ended: the cause of an error',
  'store/room.ts': 'keys of storage',
  'store/sequence.ts': 'keys of storage',
  'store/store.ts': 'keys of storage and names of locks',
  'sync/download.ts': 'what an answer lacked: the cause of an error',
}

/** Hundreds of sources are parsed: on a busy machine that takes longer than a test is given. */
const PARSES = { timeout: 60_000 }

it('has no sentence in a source', PARSES, () => {
  const found = sources
    .filter((path) => !(path in NOT_SAID))
    .flatMap((path) => sentencesIn(path, read(path)).map(([, text]) => `${path}: ${text}`))
  expect(found.join('\n')).toBe('')
})

it('has nothing on the list that is gone or needs not be there', () => {
  for (const path of Object.keys(NOT_SAID)) {
    expect(sources, path).toContain(path)
    expect(sentencesIn(path, read(path)), path).not.toEqual([])
  }
})

it('finds a sentence wherever it stands', () => {
  const source = `
    import { a } from 'not a sentence'
    const b = x === 'not this one' ? \`so many: \${n} of them\` : 'It is held'
    const c = <p class="not this" title="one">{ok ? 'yes' : b}<Key label="Two words" /> Text </p>
    type D = 'nor this one'
    function stateWords(job) { return job.end ? 'closed' : job.kind === 'open' && t(words.open) }
    const code = () => 'for-programs'
    throw new Error('a fault of the program')`
  expect(sentencesIn('a.tsx', source).map(([, text]) => text)).toEqual([
    'so many: {} of them',
    'It is held',
    'one',
    'yes',
    'Two words',
    'Text',
    'closed',
  ])
})

/** `key` or `group.key` of each sentence of a catalogue, with what it says. */
function sentencesOf(path: string): [key: string, says: string][] {
  const of = (name: string, value: unknown): [string, string][] => {
    if (!isTree(value)) return []
    if (value.type === 'TSAsExpression') return of(name, value.expression)
    if (value.type === 'ObjectExpression')
      return (value.properties as Tree[]).flatMap((one) => {
        const key = one.key as Tree
        return of(`${name}.${String(key.value ?? key.name)}`, one.value)
      })
    expect([path, name, typeof value.value]).toEqual([path, name, 'string'])
    return [[name, String(value.value)]]
  }
  const declared = childrenOf(treeOf(path, readFileSync(join(CATALOGUE, path), 'utf8')))
  return declared.flatMap(([, statement]) => {
    const declaration = statement.declaration
    expect([path, statement.type]).toEqual([path, 'ExportNamedDeclaration'])
    const [one] = isTree(declaration) ? (declaration.declarations as Tree[]) : []
    return of(String((one!.id as Tree).name), one!.init)
  })
}

/** `path: key` of each sentence that a source takes from the catalogue; `group.*` where one of a group is chosen. */
function takenBy(path: string): string[] {
  const source = read(path)
  if (!source.includes('/words/en/')) return []
  const tree = treeOf(path, source)
  const imported = new Map<string, string>()
  for (const [, one] of childrenOf(tree)) {
    const address = one.type === 'ImportDeclaration' ? String((one.source as Tree).value) : ''
    if (!address.includes('/words/en/')) continue
    const [specifier] = one.specifiers as Tree[]
    expect([path, specifier?.type]).toEqual([path, 'ImportNamespaceSpecifier'])
    const place = address.split('/words/en/')[1]!.replace(/\.ts$/, '')
    imported.set(String((specifier!.local as Tree).name), `${place}.ts`)
  }
  const taken: string[] = []
  const walk = (node: Tree, above: Tree | null) => {
    const member = node.type === 'MemberExpression' && isTree(node.object) ? node.object : null
    const catalogue = member?.type === 'Identifier' ? imported.get(String(member.name)) : undefined
    if (catalogue) {
      const key = String((node.property as Tree).name)
      const isMember = above?.type === 'MemberExpression' && above.object === node
      const inner = isMember && !above.computed ? String((above.property as Tree).name) : '*'
      taken.push(`${catalogue}: ${key}`, `${catalogue}: ${key}.${inner}`)
    }
    for (const [, child] of childrenOf(node)) walk(child, node)
  }
  walk(tree, null)
  return taken
}

const catalogues = filesIn(CATALOGUE)
/** Its sentences are the server's as well: `tests/server/words/test_catalogue.py` looks whether one of the two says them. */
const isShared = (path: string) => readFileSync(join(CATALOGUE, path), 'utf8').includes('python -m')

it('has no sentence in the catalogue that nobody says', PARSES, () => {
  const taken = new Set(sources.flatMap(takenBy))
  const unused = catalogues
    .filter((path) => !isShared(path))
    .flatMap((path) => sentencesOf(path).map(([key]) => `${path}: ${key}`))
    .filter((key) => !taken.has(key) && !taken.has(key.replace(/\.[^.]*$/, '.*')))
  expect(unused.join('\n')).toBe('')
})

it('has only messages in the catalogue, and no brace that a quotation mark hides', PARSES, () => {
  for (const path of catalogues)
    for (const [key, says] of sentencesOf(path)) {
      expect(() => parse(says), `${path}: ${key}`).not.toThrow()
      expect(says, `${path}: ${key}: write '' for one quotation mark before a brace`).not.toMatch(
        /(?<!')'[{}]/,
      )
    }
})
