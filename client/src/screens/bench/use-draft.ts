/** A draft for a screen: read when it is opened, and left, with all that was typed, when the screen goes. */
import { useEffect, useState } from 'preact/hooks'
import type { Rooms } from '../rooms'
import { WrittenDraft, type DraftNow } from './written-draft'

export interface Drafting {
  draft: WrittenDraft
  now: DraftNow
  /** Give up what stands here, and read what the workshop has. */
  readAgain: () => void
}

export function useDraft({ sync }: Rooms, name: string): Drafting | null {
  const [opened, setOpened] = useState<{ draft: WrittenDraft; now: DraftNow } | null>(null)
  const [reading, setReading] = useState(0)
  useEffect(() => {
    const draft = new WrittenDraft(sync, name, (now) => setOpened({ draft, now }))
    const hidden = () => {
      if (document.visibilityState === 'hidden' && draft.now?.isKept === false) void draft.keep()
    }
    document.addEventListener('visibilitychange', hidden)
    void draft.read()
    return () => {
      document.removeEventListener('visibilitychange', hidden)
      draft.leave()
    }
  }, [sync, name, reading])
  const readAgain = () => {
    opened?.draft.giveUp()
    setReading(reading + 1)
  }
  return opened && { ...opened, readAgain }
}
