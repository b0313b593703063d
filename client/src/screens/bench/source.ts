/** What of a procedure's source its line says, without reading it as YAML: half-written text is none. Pure. */

const STEP = /^ {2,4}- (?:id|step): *([\w-]+)/
const TOP = /^([\w-]+):/

/** The step that a line stands in, by its id; null outside the steps. */
export function stepAt(text: string, line: number): string | null {
  const lines = text.split('\n').slice(0, line)
  let found: string | null = null
  let part = ''
  for (const each of lines) {
    const top = TOP.exec(each)
    if (top) {
      part = top[1]!
      found = null
    }
    const step = STEP.exec(each)
    if (step && part === 'steps') found = step[1]!
  }
  return found
}

/** What changed between two texts: one stretch, all else is as it was. */
export function changeBetween(before: string, after: string): { from: number; to: number; insert: string } {
  let from = 0
  while (from < before.length && from < after.length && before[from] === after[from]) from++
  let tail = 0
  while (
    tail < before.length - from &&
    tail < after.length - from &&
    before[before.length - 1 - tail] === after[after.length - 1 - tail]
  )
    tail++
  return { from, to: before.length - tail, insert: after.slice(from, after.length - tail) }
}

/** Where a line and column (both from 1) stand in a text; the text's end where it has no such line. */
export function placeOf(text: string, line: number, column = 1): { from: number; to: number } {
  const lines = text.split('\n')
  if (line > lines.length) return { from: text.length, to: text.length }
  const start = lines.slice(0, line - 1).reduce((sum, each) => sum + each.length + 1, 0)
  const end = start + lines[line - 1]!.length
  const first = Math.min(start + Math.max(column - 1, lines[line - 1]!.search(/\S|$/)), end)
  return { from: first, to: end }
}
