import { useEffect, useState } from 'preact/hooks'
import type { Ref } from '../ledger/bodies'
import { reading } from './reading'
import type { Rooms } from './rooms'

/** The words of a private value: from this device, else from the workshop. */
const secretWords = async ({ store, sync }: Rooms, ref: Ref): Promise<string | null> =>
  (await store.secretValue(ref)) ?? (await sync.value(ref))

/** Null until they are here: never the words of the value that was asked for before. */
export function useSecret({ store, sync }: Rooms, ref: Ref | undefined): string | null {
  const [found, setFound] = useState<{ of: string; words: string | null } | null>(null)
  const blob = ref?.blob
  // biome-ignore lint/correctness/useExhaustiveDependencies: a ref is made anew at each fold, its value is its blob
  useEffect(() => {
    if (!ref) return undefined
    return reading(secretWords({ store, sync }, ref), (words) => setFound({ of: ref.blob, words }))
  }, [store, sync, blob])
  return found?.of === blob ? (found?.words ?? null) : null
}
