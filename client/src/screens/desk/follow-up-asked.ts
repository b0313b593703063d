/** All vehicles of a recall or of a tool that was found out: asked for page by page, told as they come. */
import { useEffect, useState } from 'preact/hooks'
import type { FollowUpAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { useChanged } from '../reading'
import type { Rooms } from '../rooms'

export interface FollowUpAsked {
  /** With the vehicles that have come so far; null before the first. */
  found: FollowUpAnswer | null
  isWhole: boolean
  trouble: Trouble | null
}

export function useFollowUp({ store, sync }: Rooms, of: string): FollowUpAsked {
  const [asked, setAsked] = useState<FollowUpAsked>({ found: null, isWhole: false, trouble: null })
  const changed = useChanged(store)
  useEffect(() => {
    let gone = false
    const bring = async () => {
      let found: FollowUpAnswer | null = null
      for (let after: string | null = ''; after !== null; ) {
        const question: string = after === '' ? '' : `?${new URLSearchParams({ after })}`
        const answer = await sync.ask<FollowUpAnswer>(`/api/follow-ups/${of}${question}`)
        if (gone) return
        if (!answer.ok) {
          // What was whole stays, though a new answer does not come.
          setAsked((last) => ({ ...last, trouble: answer.trouble }))
          return
        }
        const { value } = answer
        found = found ? { ...value, vehicles: [...found.vehicles, ...value.vehicles] } : value
        after = value.next
        const now = { found, isWhole: after === null, trouble: null }
        setAsked((last) => (last.isWhole && !now.isWhole ? last : now))
      }
    }
    void bring()
    return () => {
      gone = true
    }
  }, [sync, of, changed])
  return asked
}
