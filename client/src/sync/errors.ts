/** Why a request came to nothing. Everything that is not the workshop's own answer is `Offline`. */
import { troubleAt, troubleOf, type Sealed, type Trouble } from '../store'
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
  new Untrue(
    troubleAt('wrong-signature', (at) => ({
      message: t(words.wrongSignature, { what }),
      hint: t(words.wrongSignatureHint, { at }),
    })),
  )

export const unproven = troubleOf('unproven', words.unproven, words.unprovenHint)

/** What a phone says that goes on by a key which the paper in the safe put in the place of another. */
export const keyRecovered = troubleOf('key-recovered', words.keyRecovered, words.keyRecoveredHint)

export const rewound = troubleOf('rewound', words.rewound, words.rewoundHint)

export const forked = troubleOf('forked', words.forked, words.forkedHint)

const revoked = troubleOf('device-revoked', words.deviceRevoked, words.deviceRevokedHint)

const shutOut = troubleOf('device-shut', words.deviceShut, words.deviceShutHint)

const accessOver = troubleOf('access-over', words.accessOver, words.accessOverHint)

/** Refusals after which a phone shows nothing any more: how it is sealed, and what it says. */
const SEALING: ReadonlyMap<string, { how: Sealed; trouble: Trouble }> = new Map([
  ['device-revoked', { how: 'revoked', trouble: revoked }],
  ['device-shut', { how: 'shut', trouble: shutOut }],
  ['access-over', { how: 'over', trouble: accessOver }],
])

export const sealingOf = (error: unknown) =>
  error instanceof Refused ? SEALING.get(error.trouble.code) : undefined
