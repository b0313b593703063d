/** The drive in the room that is left for it: measured, because its words need to know how many pixels they have. */
import { useEffect, useRef, useState } from 'preact/hooks'
import { Drive, driveState } from '../../parts/drive'
import type { JobNow } from './job'

export interface DrawingProps { now: JobNow; look: readonly string[]; pluck?: boolean; counts?: boolean }

export function Drawing({ now, look, pluck = false, counts = false }: DrawingProps) {
  const box = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState<{ width: number; height: number } | null>(null)
  useEffect(() => {
    if (!box.current) return undefined
    const watch = new ResizeObserver(([entry]) => {
      if (entry) setSize({ width: Math.floor(entry.contentRect.width), height: Math.floor(entry.contentRect.height) })
    })
    watch.observe(box.current)
    return () => watch.disconnect()
  }, [])
  return (
    <div class="step-drawing" ref={box}>
      {size && size.width > 40 && (
        <Drive drive={now.bundle.drive} state={driveState(now.bundle.drive, now.possible)} look={look} tags={now.tags} pluck={pluck} counts={counts} {...size} />
      )}
    </div>
  )
}
