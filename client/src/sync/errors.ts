/** Why a request came to nothing. Everything that is not the workshop's own answer is `Offline`. */
import type { Sealed, Trouble } from '../store'
import * as words from '../words/en/sync/errors'
import { t } from '../words/message'

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
    message: t(words.wrongSignature, { what }),
    hint: t(words.wrongSignatureHint),
  })

export const unproven: Trouble = {
  code: 'unproven',
  message: t(words.unproven),
  hint: t(words.unprovenHint),
}

/** What a phone says that goes on by a key which the paper in the safe put in the place of another. */
export const keyRecovered: Trouble = {
  code: 'key-recovered',
  message: t(words.keyRecovered),
  hint: t(words.keyRecoveredHint),
}

export const rewound: Trouble = {
  code: 'rewound',
  message: t(words.rewound),
  hint: t(words.rewoundHint),
}

export const forked: Trouble = {
  code: 'forked',
  message: t(words.forked),
  hint: t(words.forkedHint),
}

const revoked: Trouble = {
  code: 'device-revoked',
  message: t(words.deviceRevoked),
  hint: t(words.deviceRevokedHint),
}

const shutOut: Trouble = {
  code: 'device-shut',
  message: t(words.deviceShut),
  hint: t(words.deviceShutHint),
}

const accessOver: Trouble = {
  code: 'access-over',
  message: t(words.accessOver),
  hint: t(words.accessOverHint),
}

/** Refusals after which a phone shows nothing any more: how it is sealed, and what it says. */
const SEALING: ReadonlyMap<string, { how: Sealed; trouble: Trouble }> = new Map([
  ['device-revoked', { how: 'revoked', trouble: revoked }],
  ['device-shut', { how: 'shut', trouble: shutOut }],
  ['access-over', { how: 'over', trouble: accessOver }],
])

export const sealingOf = (error: unknown) =>
  error instanceof Refused ? SEALING.get(error.trouble.code) : undefined
