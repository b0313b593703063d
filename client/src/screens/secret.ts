import { useEffect, useState } from 'preact/hooks'
import type { Ref } from '../ledger/bodies'
import { reading } from './reading'
import type { Rooms } from './rooms'

/** `sync`: absent where no line is waited for. */
type From = Pick<Rooms, 'store'> & Partial<Pick<Rooms, 'sync'>>

/** The words of a private value: from this device, else from the workshop. */
export const secretWords = async ({ store, sync }: From, ref: Ref): Promise<string | null> =>
  (await store.secretValue(ref)) ?? (await sync?.value(ref)) ?? null

/** Null until they are here: never the words of the value that was asked for before. */
export function useSecret({ store, sync }: From, ref: Ref | undefined): string | null {
  const [found, setFound] = useState<{ of: string; words: string | null } | null>(null)
  const blob = ref?.blob
  // biome-ignore lint/correctness/useExhaustiveDependencies: a ref is made anew at each fold, its value is its blob
  useEffect(() => {
    if (!ref) return undefined
    return reading(secretWords(sync ? { store, sync } : { store }, ref), (words) =>
      setFound({ of: ref.blob, words }),
    )
  }, [store, sync, blob])
  return found?.of === blob ? (found?.words ?? null) : null
}
