/**
 * Faults planted in the phone's code to see whether the simulation finds them. Each is a text of the
 * product's and what stands in its place while that fault is switched on; a text that is no longer
 * there stops the build.
 */
export interface Plant {
  name: string
  /** Below `client/src`. */
  file: string
  from: string
  /** An expression, like `from`. */
  to: string
}

export const PLANTS: Plant[] = [
  // Kept as soon as the requests have succeeded, and never looked at again.
  {
    name: 'saved-at-success',
    file: 'store/database.ts',
    from: 'Promise.all([act(tx), tx.done])',
    to: 'act(tx).then((value) => [value])',
  },
  {
    name: 'saved-at-success',
    file: 'store/keep.ts',
    from: '!(await isKept(db, act, withBytes))',
    to: 'false',
  },
  {
    name: 'journal-not-flushed',
    file: 'store/journal.ts',
    from: 'writeWithMargin(this.#file, frame, this.#size)\n      this.#file.flush()',
    to: 'writeWithMargin(this.#file, frame, this.#size)',
  },
  {
    name: 'photo-not-written',
    file: 'store/keep.ts',
    from: 'for (const { row, bytes } of act.photos) await disk.putPhoto(row.blob, bytes)',
    to: 'act.photos.length',
  },
  { name: 'journal-forgotten', file: 'store/two-copies.ts', from: 'found.acts', to: '[]' },
  {
    name: 'loss-not-told',
    file: 'store/losses.ts',
    from: 'if (isNews) await announcements.say(isHere || !last ? entriesLost(lost) : wiped(last))',
    to: 'void isHere',
  },
  {
    name: 'sent-by-number',
    file: 'store/sequence.ts',
    from: 'rank * EACH_DEVICE + seq',
    to: 'seq',
  },
  { name: 'freed-before-backup', file: 'store/pictures.ts', from: 'row.kept < upTo', to: 'true' },
  {
    name: 'backed-up-too-early',
    file: 'store/places.ts',
    from: "index < backedUpTo ? 'backup' : 'workshop'",
    to: "'backup'",
  },
  {
    name: 'receipt-unsigned',
    file: 'sync/pull.ts',
    from: 'const head = await this.open(checkpoint)\n    if (records.length && !(await isProven(records, head, proof))) throw new Untrue(unproven)\n    return head',
    to: 'return (await this.open(checkpoint).catch(() => null)) ?? { size: 0, root: new Uint8Array(32) }',
  },
  {
    name: 'receipt-not-shown',
    file: 'sync/session.ts',
    from: 'this.store.device.value?.receipt',
    to: 'undefined',
  },
  {
    name: 'rewound-ignored',
    file: 'sync/round.ts',
    from: 'await this.offerAgain()',
    to: 'await this.store.alarm.keep(null)',
  },
]

/** The source with every plant in it, each asleep until its name is `PLANT`. */
export function planted(path: string, source: string): string {
  let text = source
  for (const { name, file, from, to } of PLANTS) {
    if (!path.endsWith(`/client/src/${file}`)) continue
    if (!text.includes(from)) throw new Error(`${file} no longer says: ${from}`)
    const isOn = `(globalThis as { PLANT?: string }).PLANT === '${name}'`
    const isStatement = /^(if|for|await|const|writeWithMargin)\b/.test(from)
    text = text.replace(from, () =>
      isStatement ? `if (${isOn}) { ${to} } else { ${from} }` : `(${isOn} ? (${to}) : (${from}))`,
    )
  }
  return text
}
