/** The drive in the room that is left for it: measured, because its words need to know how many pixels they have. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { DriveProps } from '../../parts/drive'
import { driveState } from '../../parts/drive-words'
import type { JobNow } from '../../work/job'
import { chunk, screenOf } from '../chunk'

/** The words of a step stand before its drawing does: it has its place on the screen already. */
const Drive = screenOf(
  chunk(() => import('../../parts/drive')),
  (its) => its.Drive,
  () => null,
)

interface DrawingProps extends Omit<DriveProps, 'drive' | 'state' | 'width' | 'height'> {
  now: Pick<JobNow, 'bundle' | 'possible' | 'tags'>
}

export function Drawing({ now, ...view }: DrawingProps) {
  const box = useRef<HTMLDivElement>(null)
  const [size, setSize] = useState<{ width: number; height: number } | null>(null)
  useEffect(() => {
    if (!box.current) return undefined
    const watch = new ResizeObserver(([entry]) => {
      if (entry)
        setSize({ width: Math.floor(entry.contentRect.width), height: Math.floor(entry.contentRect.height) })
    })
    watch.observe(box.current)
    return () => watch.disconnect()
  }, [])
  return (
    <div class="step-drawing" ref={box}>
      {size && size.width > 40 && (
        <Drive
          drive={now.bundle.drive}
          state={driveState(now.bundle.drive, now.possible)}
          tags={now.tags}
          {...view}
          {...size}
        />
      )}
    </div>
  )
}
