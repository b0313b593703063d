/**
 * What was typed, at the engine or at the desk, and is not kept yet: on this device only, at each change, so that neither a reload nor a
 * killed page takes it. No entry, no export and no bag has it; nothing tells of it as saved. It goes when its act is kept
 * or it is thrown away, after a week, with the device's access, and with whatever is erased after it was typed: it may
 * say the same of the same person. Written at once and read at once, as a page may end in the next moment: local storage. A browser that is
 * killed whole takes the last five seconds with it (Chromium's own delay, measured).
 */

/** What was typed, and when it last changed. */
export interface Typed {
  at: string
  value: unknown
}

const UNDER = 'typed/'
const MOST_MS = 7 * 24 * 3_600_000 // chosen: over a weekend and a few days off

/** Where a browser keeps nothing, or has no room: for as long as the page lives. */
const beside = new Map<string, string>()

const keyOf = (name: string) => `${UNDER}${name}`

function storage(): Storage | null {
  try {
    return localStorage
  } catch {
    return null // not allowed
  }
}

const keys = (): string[] =>
  [...new Set([...Object.keys(storage() ?? {}), ...beside.keys()])].filter((key) => key.startsWith(UNDER))

function remove(key: string): void {
  beside.delete(key)
  storage()?.removeItem(key)
}

function read(key: string): Typed | null {
  try {
    const found = JSON.parse(beside.get(key) ?? storage()?.getItem(key) ?? 'null') as Partial<Typed> | null
    return typeof found?.at === 'string' && 'value' in found ? (found as Typed) : null
  } catch {
    return null // of another build
  }
}

/** Drop what was last changed before a time, and what cannot be read. */
export function forgetTypedBefore(at: string): void {
  for (const key of keys()) {
    const found = read(key)
    if (found === null || found.at < at) remove(key)
  }
}

export const forgetAllTyped = (): void => keys().forEach(remove)

/** What waits under a name. */
export function typedOf(name: string, now: Date): Typed | null {
  forgetTypedBefore(new Date(now.getTime() - MOST_MS).toISOString())
  return read(keyOf(name))
}

export function keepTyped(name: string, value: unknown, now: Date): void {
  const [key, text] = [keyOf(name), JSON.stringify({ at: now.toISOString(), value })]
  try {
    localStorage.setItem(key, text)
    beside.delete(key)
  } catch {
    beside.set(key, text)
  }
}

export const forgetTyped = (name: string): void => remove(keyOf(name))
