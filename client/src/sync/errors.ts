/** Why a request came to nothing. Everything that is not the workshop's own answer is `Offline`. */
import type { Sealed, Trouble } from '../store'

/** No answer, or not one of the workshop's: no signal, a portal's page, a proxy, half an answer. */
export class Offline extends Error {}

/** The line broke in the middle of an answer: this much of it came. */
export class BrokenOff extends Offline {
  constructor(
    readonly answer: Response,
    readonly bytes: Uint8Array<ArrayBuffer>,
    cause: unknown,
  ) {
    super('no whole answer came back', { cause })
  }
}

/** The workshop answered, and refused. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly trouble: Trouble,
  ) {
    super(trouble.message)
  }
}

/** The workshop, or whoever answers for it, showed something that cannot be true. */
export class Untrue extends Error {
  constructor(readonly trouble: Trouble) {
    super(trouble.message)
  }
}

export const notOurs = (what: string): Untrue =>
  new Untrue({
    code: 'wrong-signature',
    message: `${what} is not signed with this workshop's key.`,
    hint: 'Compare the fingerprint with the one on paper. What this phone holds stays here.',
  })

export const unproven: Trouble = {
  code: 'unproven',
  message: 'The workshop names records and does not prove that it keeps them.',
  hint: 'Tell the owner. What this phone holds stays here and is sent again.',
}

/** What a phone says that goes on by a key which the paper in the safe put in the place of another. */
export const keyRecovered: Trouble = {
  code: 'key-recovered',
  message: "The workshop's key was lost or stolen, and the owner has put a new one in its place.",
  hint: 'This phone goes on with the new key. What the old one said after the place that the owner trusts counts no more; photos that only it had acknowledged are sent again.',
}

export const rewound: Trouble = {
  code: 'rewound',
  message: 'The workshop no longer has all that it had signed for.',
  hint: 'Keep this phone as it is and near the workshop: it sends everything it holds again. Tell the owner.',
}

export const forked: Trouble = {
  code: 'forked',
  message: 'The workshop shows two different histories.',
  hint: 'Tell the owner and the auditor. What this phone holds stays here.',
}

const revoked: Trouble = {
  code: 'device-revoked',
  message: 'The owner has withdrawn this phone.',
  hint: 'Ask the owner. What was written here is still sent, and held back until the owner accepts it. What the workshop does not take stays on this phone: write it to a file, under where it all is.',
}

const shutOut: Trouble = {
  code: 'device-shut',
  message: 'The owner has shut this phone out.',
  hint: 'Ask the owner. Nothing more is sent from here: write it to a file, which the owner may take in at the workshop’s computer.',
}

const accessOver: Trouble = {
  code: 'access-over',
  message: 'The time that this auditor was given is over.',
  hint: 'Ask the owner for a new invitation. What was written here stays here until then.',
}

/** Refusals after which a phone shows nothing any more: how it is sealed, and what it says. */
const SEALING: ReadonlyMap<string, { how: Sealed; trouble: Trouble }> = new Map([
  ['device-revoked', { how: 'revoked', trouble: revoked }],
  ['device-shut', { how: 'shut', trouble: shutOut }],
  ['access-over', { how: 'over', trouble: accessOver }],
])

export const sealingOf = (error: unknown) =>
  error instanceof Refused ? SEALING.get(error.trouble.code) : undefined
