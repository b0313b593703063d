/** The store is one and the same everywhere, and speaks of a phone. A desk may be any device: what is said there says so. */
import type { Trouble } from './types'
import { t, type ArgsOf } from '../words/message'

/** Where a sentence is read: `{at, select, desk {this device} other {this phone}}`. */
export type ReadAt = 'engine' | 'desk'

/** A sentence that is given nothing but where it is read, if that, and what is named. */
type AtOf<M extends string, Named> = Exclude<keyof ArgsOf<M>, 'at' | Named> extends never ? M : never
type AtOnly<M extends string> = AtOf<M, never>

/** A trouble in the words of both. */
export const troubleOf = <M extends string, H extends string>(
  code: string,
  message: AtOnly<M>,
  hint: AtOnly<H>,
): Trouble =>
  troubleAt(code, (at) => ({ message: t(message as '{at}', { at }), hint: t(hint as '{at}', { at }) }))

/** The same of so many: `{n}`. */
export const countedTrouble =
  <M extends string, H extends string>(code: string, message: AtOf<M, 'n'>, hint: AtOnly<H>) =>
  (n: number): Trouble =>
    troubleAt(code, (at) => ({
      message: t(message as '{at}{n}', { at, n }),
      hint: t(hint as '{at}', { at }),
    }))

/** The same, of sentences that are given more. */
export const troubleAt = (
  code: string,
  says: (at: ReadAt) => { message: string; hint: string },
): Trouble => ({ code, ...says('engine'), atDesk: says('desk') })
