/** Keeps the screen lit while a step is shown: a dark phone in a greasy glove is a lost place in the work. */
import { useEffect } from 'preact/hooks'

async function request(): Promise<WakeLockSentinel | null> {
  const lock = navigator.wakeLock as WakeLock | undefined
  if (!lock || document.visibilityState !== 'visible') return null
  try {
    return await lock.request('screen')
  } catch {
    return null // a nearly empty battery refuses it: the phone's own sleep time holds then
  }
}

export function useAwake(): void {
  useEffect(() => {
    let held: WakeLockSentinel | null = null
    let gone = false
    // The browser drops the lock whenever the page is hidden; it must be asked for anew.
    const hold = async () => {
      const lock = await request()
      if (gone) await lock?.release()
      else held = lock
    }
    const again = () => void hold()
    document.addEventListener('visibilitychange', again)
    again()
    return () => {
      gone = true
      document.removeEventListener('visibilitychange', again)
      void held?.release()
    }
  }, [])
}
