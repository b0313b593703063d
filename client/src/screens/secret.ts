import { useEffect, useState } from 'preact/hooks'
import type { Ref } from '../ledger/bodies'
import type { Rooms } from './rooms'

/** The words of a private value: from this device, else from the workshop. Null until they are here. */
export function useSecret({ store, sync }: Rooms, ref: Ref | undefined): string | null {
  const [words, setWords] = useState<string | null>(null)
  useEffect(() => {
    let gone = false
    if (ref) {
      void store
        .secretValue(ref)
        .then(async (here) => here ?? (await sync.value(ref)))
        .then((found) => !gone && setWords(found))
    }
    return () => {
      gone = true
    }
  }, [ref?.blob])
  return words
}
