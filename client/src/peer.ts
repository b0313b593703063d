/**
 * The differential tests' other half: reads `{"id","fn","args"}` a line, answers `{"id","ok"}` or `{"id","err"}`.
 * Each room adds its functions to the table; nothing here ships to a phone.
 */
import { createInterface } from 'node:readline'

export type PeerFunctions = Record<string, (...args: never[]) => unknown>

const functions: PeerFunctions = {}

for await (const line of createInterface({ input: process.stdin })) {
  const { id, fn, args } = JSON.parse(line) as { id: number; fn: string; args: never[] }
  try {
    const known = functions[fn]
    if (!known) throw new Error(`unknown function ${fn}`)
    process.stdout.write(JSON.stringify({ id, ok: await known(...args) }) + '\n')
  } catch (error) {
    process.stdout.write(JSON.stringify({ id, err: String(error) }) + '\n')
  }
}
