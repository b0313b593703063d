/**
 * The differential tests' other half: reads `{"id","fn","args"}` a line, answers `{"id","ok"}` or `{"id","err"}`.
 * A room adds its functions by exporting `peerFunctions` from its own `peer.ts`; nothing here ships to a phone.
 */
import { createInterface } from 'node:readline'

export type PeerFunctions = Record<string, (...args: never[]) => unknown>

const rooms = import.meta.glob<{ peerFunctions: PeerFunctions }>('./*/peer.ts', { eager: true })
const functions = new Map<string, PeerFunctions[string]>([['echo', (...args: never[]) => args]])

for (const [path, room] of Object.entries(rooms)) {
  for (const [name, fn] of Object.entries(room.peerFunctions)) {
    if (functions.has(name)) throw new Error(`${path} registers ${name}, which another room has`)
    functions.set(name, fn)
  }
}

async function answer(fn: string, args: never[]): Promise<object> {
  try {
    const known = functions.get(fn)
    if (!known) throw new Error(`unknown function ${fn}`)
    return { ok: (await known(...args)) ?? null }
  } catch (error) {
    const { code, message } = error as { code?: unknown; message?: unknown }
    return { err: { code: typeof code === 'string' ? code : null, message: String(message ?? error) } }
  }
}

for await (const line of createInterface({ input: process.stdin })) {
  const { id, fn, args } = JSON.parse(line) as { id: number; fn: string; args: never[] }
  process.stdout.write(`${JSON.stringify({ id, ...(await answer(fn, args)) })}\n`)
}
