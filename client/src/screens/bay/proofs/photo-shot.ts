/** A shot that was just taken: its picture, how sharp it is, and the shot before it, which it is compared with. */
import { useEffect, useState } from 'preact/hooks'
import type { Picture } from '../../../instruments/camera'
import type { Quality } from '../../../instruments/sharpness'
import { qualityBeside } from '../../../instruments/sharpness-beside'
import { photoQuality } from '../../../instruments/sharpness-photo'

export interface Shot {
  picture: Picture
  url: string
  /** Resolves within seconds, whatever the phone does; null where it cannot be told. It never rejects. */
  quality: Promise<Quality | null>
}

/** A common phone measures its photo in well under a second. What takes longer is kept without figures: they advise and never lock. */
const PATIENCE_MS = 3000
/** Where the screen's own thread must measure: the picture is shown first. */
const PAINTED_MS = 60

const pause = (ms: number) => new Promise<void>((go) => setTimeout(go, ms))

const measuredHere = (photo: Blob) => pause(PAINTED_MS).then(() => photoQuality(photo))

/** Begin to measure a photo that was shot this moment. */
export const measure = (photo: Blob): Shot['quality'] =>
  Promise.race([qualityBeside(photo, measuredHere), pause(PATIENCE_MS).then(() => null)]).catch(() => null)

export const shotOf = (picture: Picture, quality: Shot['quality']): Shot => ({
  picture,
  url: URL.createObjectURL(picture.bytes),
  quality,
})

/** The picture with its figures, as it is kept. */
export async function judged({ picture, quality }: Shot): Promise<Picture> {
  const figures = await quality
  return figures ? { ...picture, quality: figures } : picture
}

/**
 * A shot that is held to be kept may wait for its figures for seconds: from then on it is that shot, and keys that would
 * give it up do nothing, until the write was refused.
 */
export function oneShot() {
  let isKept = false
  return {
    keep: async (write: () => Promise<void>): Promise<void> => {
      isKept = true
      await write().catch((error: unknown) => {
        isKept = false
        throw error
      })
    },
    unlessKept: (act: () => void) => () => {
      if (!isKept) act()
    },
  }
}

/** The figures once they are known; undefined before. */
export function useQuality(shot: Shot | null): Quality | null | undefined {
  const [known, setKnown] = useState<{ of: Shot; quality: Quality | null } | null>(null)
  useEffect(() => {
    if (!shot) return undefined
    let gone = false
    void shot.quality.then((quality) => !gone && setKnown({ of: shot, quality }))
    return () => {
      gone = true
    }
  }, [shot])
  return known && known.of === shot ? known.quality : undefined
}
