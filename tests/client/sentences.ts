/** What of a source file a person would read: found in its syntax tree, for `words.test.ts`. */
import { parseAst } from 'vite'

export interface Tree {
  type: string
  start: number
  end: number
  [member: string]: unknown
}

export const treeOf = (path: string, source: string): Tree =>
  parseAst(source, { lang: path.endsWith('x') ? 'tsx' : 'ts' }, path) as unknown as Tree

export const isTree = (value: unknown): value is Tree =>
  typeof value === 'object' && value !== null && typeof (value as Tree).type === 'string'

export const childrenOf = (tree: Tree): [member: string, child: Tree][] =>
  Object.entries(tree).flatMap(([member, value]) =>
    (Array.isArray(value) ? value : [value]).filter(isTree).map((child): [string, Tree] => [member, child]),
  )

/** Attributes whose values are for programs; every other is read out or shown. */
const FOR_PROGRAMS =
  /^(class|id|type|role|name|key|href|for|rel|target|accept|capture|style|d|fill|stroke|transform|points|viewBox|inputMode|autocomplete|autocapitalize|enterkeyhint|data-.*|stroke-.*|clip-.*|fill-.*|text-.*|font-.*|dominant-.*|aria-(?!label$|description$|valuetext$|roledescription$).*)$/i
/** Attributes and members in which one word is enough to be read. */
const READ =
  /^(aria-label|aria-description|aria-valuetext|title|alt|placeholder|label|note|hint|fact|because|message|short|costs|done|words|says)$/
/** A table of words. */
const WORDS = /Record<.*, string>+$/s

/** Names that formats and places begin with, paths of drawings, a unit. */
const NAME = /^(two-turns |M-?\d|Hz$)/
const LETTER = /\p{L}/u
/** Two words, or one that begins with a capital and is no name of a key or a class. */
const SENTENCE =
  /\p{L}{2,}[,.:;!?]* [\p{L}({]{1,}|^\p{Lu}\p{Ll}+[.!?…]?$|[\p{L})][.!?…]$|^(\{\}|\d+) \p{L}{3,}/u

const textOf = (tree: Tree): string | null => {
  if (tree.type === 'JSXText') return String(tree.value)
  if (tree.type === 'Literal' && typeof tree.value === 'string') return tree.value
  if (tree.type === 'TemplateLiteral')
    return (tree.quasis as { value: { cooked: string } }[]).map(({ value }) => value.cooked).join('{}')
  return null
}

const nameOf = (tree: unknown): string =>
  isTree(tree) ? String((tree.type === 'JSXNamespacedName' ? '' : tree.name) ?? '') : ''

const FOR_PROGRAMS_CALLS = /^(super|matchMedia|encodeURIComponent|startsWith|endsWith|includes|split)$/
const calleeOf = ({ callee }: Tree): string => {
  if (!isTree(callee)) return ''
  return callee.type === 'Super'
    ? 'super'
    : nameOf(callee.type === 'MemberExpression' ? callee.property : callee)
}

/** Where no sentence stands: types, keys, addresses of modules, values that are compared, what only a programmer is told. */
function isForPrograms(tree: Tree, member: string, parent: Tree): boolean {
  if (/^(TS(?!As|NonNull|Satisfies)|Import|ExportAll)/.test(parent.type)) return true
  if (parent.type === 'BinaryExpression') return /^[!=]==$/.test(String(parent.operator))
  if (parent.type === 'SwitchCase') return member === 'test'
  if (parent.type === 'Property') return member === 'key'
  if (parent.type === 'MemberExpression') return member === 'property'
  if (parent.type === 'NewExpression')
    return /(Error|Exception|Offline|BrokenOff|NotAsAsked|RegExp)$/.test(nameOf(parent.callee))
  if (parent.type === 'CallExpression') return FOR_PROGRAMS_CALLS.test(calleeOf(parent))
  if (parent.type === 'JSXAttribute') return FOR_PROGRAMS.test(nameOf(parent.name))
  return tree.type === 'TSLiteralType' || parent.type === 'TaggedTemplateExpression'
}

const isChoice = ({ type }: Tree) => type === 'ConditionalExpression' || type === 'LogicalExpression'

const isFunction = ({ type }: Tree) => /Function/.test(type)

/** A function that answers in words: its name says so. */
const isWordsOf = ({ id, type }: Tree) =>
  (type === 'FunctionDeclaration' || type === 'VariableDeclarator') && /Words$/.test(nameOf(id))

const isAnswer = ({ type }: Tree, member: string) =>
  type === 'ReturnStatement' || (type === 'ArrowFunctionExpression' && member === 'body')

/** Whether a table of words is declared: `Record<Place, string>`. */
const isTable = ({ id }: Tree, source: string): boolean => {
  const type = isTree(id) ? id.typeAnnotation : null
  return isTree(type) && WORDS.test(source.slice(type.start, type.end))
}

/** `[character, text]` of each sentence that stands in a source as a literal. */
export function sentencesIn(path: string, source: string): [at: number, text: string][] {
  const found: [number, string][] = []
  /** `isRead`: what stands here is shown as it is, be it one word. */
  const walk = (tree: Tree, isRead: boolean, isWords: boolean) => {
    const text = textOf(tree)
    if (text !== null && !NAME.test(text) && (isRead ? LETTER : SENTENCE).test(text))
      found.push([tree.start, text.trim().replace(/\s+/g, ' ')])
    for (const [member, child] of childrenOf(tree)) {
      if (isForPrograms(child, member, tree)) continue
      // What is said in place of a sentence is one.
      const isBeside =
        tree.type === 'ConditionalExpression' &&
        member !== 'test' &&
        [tree.consequent, tree.alternate].some((arm) => SENTENCE.test((isTree(arm) && textOf(arm)) || ''))
      const passesOn = isChoice(tree) || tree.type === 'JSXExpressionContainer'
      const reads =
        child.type === 'JSXText' ||
        (tree.type === 'JSXElement' && member === 'children') ||
        (tree.type === 'JSXFragment' && member === 'children') ||
        (tree.type === 'JSXAttribute' && READ.test(nameOf(tree.name))) ||
        (tree.type === 'Property' && (isRead || READ.test(nameOf(tree.key)))) ||
        (tree.type === 'ObjectExpression' && isRead) ||
        (tree.type === 'VariableDeclarator' && member === 'init' && isTable(tree, source)) ||
        (passesOn && isRead && member !== 'test') ||
        isBeside ||
        // What fills a place of a sentence.
        (tree.type === 'TemplateLiteral' && SENTENCE.test(text ?? '') && isChoice(child))
      const isSaid = isWords && isAnswer(tree, member)
      walk(child, reads || isSaid, isWordsOf(child) || (isWords && !isFunction(child)))
    }
  }
  walk(treeOf(path, source), false, false)
  return found
}
