/** What was tightened in a job with a wrench that was found out: looked at only where the workshop stated such a check. */
import { useEffect, useState } from 'preact/hooks'
import type { Held } from '../../store'
import type { JobNow } from '../../work/job'
import type { StopNow } from '../../work/stops'

const NONE: readonly StopNow[] = []

export function useDoubtedStops(now: JobNow, statements: readonly Held[]): readonly StopNow[] {
  const [stops, setStops] = useState(NONE)
  const isAsked = statements.some(({ entry }) => entry.kind === 'tool.checked')
  useEffect(() => {
    let gone = false
    const look = async () => {
      const { doubtedStops } = await import('../../work/doubted-stops')
      if (!gone) setStops(doubtedStops(now, statements))
    }
    if (isAsked) void look()
    return () => {
      gone = true
    }
  }, [now, statements, isAsked])
  return stops
}
