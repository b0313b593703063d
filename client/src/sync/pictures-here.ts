/** Pictures that this phone holds itself: they are shown without asking anybody. */
import type { PhoneStore } from '../store'
import { mediaType } from '../trade/media'
import type { Shown } from './types'

/** The type is what the bytes are, never what they are called: nothing else becomes an image on a screen. */
export function asPicture(bytes: ArrayBuffer): Shown {
  const type = mediaType(new Uint8Array(bytes))
  return type === null ? { at: 'no-picture' } : { at: 'here', blob: new Blob([bytes], { type }) }
}

/** Null where the phone does not have its bytes. */
export async function pictureHere(store: Pick<PhoneStore, 'photo'>, sha: string): Promise<Shown | null> {
  const held = await store.photo(sha)
  return held && asPicture(await held.arrayBuffer())
}

/** The small picture that the phone kept when it let go of the bytes; null where a copy of a `width` is asked for. */
export async function smallHere(
  store: Pick<PhoneStore, 'thumb'>,
  sha: string,
  width: number | undefined,
): Promise<Shown | null> {
  const small = width === undefined ? null : await store.thumb(sha)
  return small && { at: 'here', blob: small }
}
