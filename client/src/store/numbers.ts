/** Numbers of a device's entries, as runs: what a phone does without, and what it lacks. */
import type { Reading } from './database'
import { keptEntry } from './entries'

/** `[first, last]` each, ascending. */
export type Runs = [first: number, last: number][]

/** By device: numbers that are not here, and need not be told any more. */
export type Without = Record<string, Runs>

export function runsOf(numbers: Iterable<number>): Runs {
  const runs: Runs = []
  for (const number of [...new Set(numbers)].sort((one, other) => one - other)) {
    const run = runs.at(-1)
    if (run && run[1] + 1 === number) run[1] = number
    else runs.push([number, number])
  }
  return runs
}

export function numbersOf(runs: Runs): number[] {
  return runs.flatMap(([first, last]) => Array.from({ length: last - first + 1 }, (_, i) => first + i))
}

export function joined(...all: Without[]): Without {
  const devices = new Set(all.flatMap((one) => Object.keys(one)))
  return Object.fromEntries(
    [...devices].map((device) => [device, runsOf(all.flatMap((one) => numbersOf(one[device] ?? [])))]),
  )
}

/** What the first has more than the second. */
export function less(all: Without, taken: Without): Without {
  const left = Object.entries(all).map(([device, runs]): [string, Runs] => {
    const gone = new Set(numbersOf(taken[device] ?? []))
    return [device, runsOf(numbersOf(runs).filter((number) => !gone.has(number)))]
  })
  return Object.fromEntries(left.filter(([, runs]) => runs.length))
}

/** The places of all entries that were written here. */
export const slotsIn = async (tx: Reading): Promise<string[]> =>
  (await tx.objectStore('entries').index('slot').getAll()).map(({ slot = '' }) => slot)

/**
 * The numbers from 1 to the last that no entry here has: a device numbers what it writes without holes.
 * `upTo` is the last number that a device is known to have come to.
 */
export async function missingNumbers(
  tx: Reading,
  slots: readonly string[],
  upTo: ReadonlyMap<string, number>,
  without: Without,
): Promise<Map<string, number[]>> {
  const entries = tx.objectStore('entries')
  const here = new Map<string, Set<number>>([...upTo.keys()].map((device) => [device, new Set<number>()]))
  const note = (device: string, seq: number) =>
    here.set(device, (here.get(device) ?? new Set<number>()).add(seq))
  for (const slot of slots) {
    const [device = '', seq] = slot.split(' ')
    note(device, Number(seq))
  }
  const holes = holesIn(here, upTo, without)
  if (!holes.size) return holes
  // What came back from the workshop has no slot: looked through only now, for it may be long.
  for (const { line, id, slot } of await entries.getAll()) {
    const { device, seq } = keptEntry(line, id)
    if (slot === undefined && here.has(device)) note(device, seq)
  }
  return holesIn(here, upTo, without)
}

function holesIn(
  here: ReadonlyMap<string, Set<number>>,
  upTo: ReadonlyMap<string, number>,
  without: Without,
): Map<string, number[]> {
  const holes = new Map<string, number[]>()
  for (const [device, seqs] of here) {
    const known = new Set([...seqs, ...numbersOf(without[device] ?? [])])
    const last = [...seqs].reduce((most, seq) => Math.max(most, seq), upTo.get(device) ?? 0)
    const missing = Array.from({ length: last }, (_, i) => i + 1).filter((seq) => !known.has(seq))
    if (missing.length) holes.set(device, missing)
  }
  return holes
}
