/** The real workshop at the other end of two pipes, asked in one breath: nothing else moves meanwhile. */
import { readSync, writeSync } from 'node:fs'

const CHUNK = Buffer.alloc(1 << 16)
let rest = Buffer.alloc(0)

function readLine(): string {
  const parts: Buffer[] = []
  for (;;) {
    const end = rest.indexOf(10)
    if (end >= 0) {
      parts.push(rest.subarray(0, end))
      rest = rest.subarray(end + 1)
      return Buffer.concat(parts).toString()
    }
    parts.push(rest)
    const count = readSync(0, CHUNK, 0, CHUNK.length, null)
    if (count === 0) process.exit() // nobody asks any more
    rest = Buffer.from(CHUNK.subarray(0, count))
  }
}

export function call<T>(said: object): T {
  const bytes = Buffer.from(`${JSON.stringify(said)}\n`)
  for (let at = 0; at < bytes.length; ) at += writeSync(1, bytes, at)
  const told = JSON.parse(readLine()) as { ok: T } | { failed: string }
  if ('failed' in told) throw new Error(`the workshop failed: ${told.failed}`)
  return told.ok
}

export interface Answered {
  status: number
  headers: [string, string][]
  /** Base64. */
  body: string
}

export interface Held {
  records: { id: string; line: string; standing: string }[]
  /** Every blob on the disk, and whether its bytes are its own. */
  blobs: [string, boolean][]
  erased: string[]
}
