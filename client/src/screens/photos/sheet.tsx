/** A contact sheet: photos small, several a row, each with what it is of; opened, chosen, and printed. */
import { useEffect, useRef, useState } from 'preact/hooks'
import type { PhotoRef } from '../../work/photo-list'
import type { Rooms } from '../rooms'
import { Thumb, useSeen } from '../record/photo'
import { PhotoViewer } from '../record/photo-viewer-later'
import type { PhotoActs } from '../record/photo-viewer'
import './sheet.css'
import * as says from '../../words/en/photos/sheet'
import { t } from '../../words/message'

/** What stands under a photo: of which job and step it is, when it was taken, and what is odd about it. */
export interface SheetItem extends PhotoRef {
  jobName: string
  step: string
  takenAt: string
  oddities: readonly string[]
}

interface CellProps {
  item: SheetItem
  isChosen: boolean
  isPrinting: boolean
  choose: () => void
  open: () => void
  onSettled: () => void
}

function Cell({ item, isChosen, isPrinting, choose, open, onSettled, ...rooms }: Rooms & CellProps) {
  const { element, isSeen } = useSeen()
  return (
    <li class={`contact-cell ${isChosen ? 'contact-chosen' : ''}`}>
      <button ref={element} type="button" class="photo-small" onClick={open}>
        <Thumb {...rooms} blob={item.blob} isWanted={isSeen || isPrinting} onSettled={onSettled} />
        <span class="unseen">{t(says.open, { label: item.label, step: item.step, job: item.jobName })}</span>
      </button>
      <p class="d-small contact-caption">
        <b>{item.jobName}</b>
        <span>{t(says.stepAndLabel, { step: item.step, label: item.label })}</span>
        <span>{item.takenAt}</span>
        <span class="hash">{item.blob.slice(0, 12)}</span>
        {item.oddities.map((each) => (
          <span key={each} class="act-words">
            {each}
          </span>
        ))}
      </p>
      <label class="contact-choose">
        <input type="checkbox" checked={isChosen} onChange={choose} />
        <span>{t(says.take)}</span>
        <span class="unseen">
          {t(says.ofWhich, { label: item.label, step: item.step, job: item.jobName })}
        </span>
      </label>
    </li>
  )
}

/** All photos of the sheet are fetched before it is printed: those that nobody has scrolled to as well. */
function usePrinting(all: number) {
  const [isPrinting, setPrinting] = useState(false)
  const settled = useRef(new Set<string>())
  const [count, setCount] = useState(0)
  const settle = (entry: string) => {
    settled.current.add(entry)
    setCount(settled.current.size)
  }
  useEffect(() => {
    if (!isPrinting || count < all) return
    print()
    setPrinting(false)
  }, [isPrinting, count, all])
  return { isPrinting, settle, begin: () => setPrinting(true), count }
}

/** What is gone through, from which photo on, and which stands beside it. */
interface Opened {
  photos: readonly PhotoRef[]
  first: number
  beside?: number
}

interface SheetProps {
  items: readonly SheetItem[]
  /** Printed above them: what the photos were asked for, and who says so. */
  heading: string
  chosen: ReadonlySet<string>
  setChosen: (chosen: ReadonlySet<string>) => void
  acts?: PhotoActs | undefined
  /** What is gone through from one that is opened: the sheet's own, and what would follow them. */
  through: readonly PhotoRef[]
}

export function Sheet({ items, heading, chosen, setChosen, acts, through, ...rooms }: Rooms & SheetProps) {
  const [opened, open] = useState<Opened | null>(null)
  const printing = usePrinting(items.length)
  const choose = (entry: string) => {
    const now = new Set(chosen)
    if (!now.delete(entry)) now.add(entry)
    setChosen(now)
  }
  const marked = items.filter(({ entry }) => chosen.has(entry))
  const areAll = items.every(({ entry }) => chosen.has(entry))
  return (
    <>
      <p class="step-acts contact-keys">
        <button
          type="button"
          class="text-key"
          onClick={() => setChosen(new Set(areAll ? [] : items.map(({ entry }) => entry)))}
        >
          {areAll ? t(says.takeNone) : t(says.takeAll, { n: items.length })}
        </button>
        {marked.length === 2 && (
          <button
            type="button"
            class="text-key"
            onClick={() => open({ photos: marked, first: 1, beside: 0 })}
          >
            {t(says.compare)}
          </button>
        )}
        <button type="button" class="text-key" disabled={printing.isPrinting} onClick={printing.begin}>
          {printing.isPrinting
            ? t(says.fetching, { count: printing.count, all: items.length })
            : t(says.print)}
        </button>
      </p>
      <p class="contact-heading">{heading}</p>
      <ul class="contact-sheet">
        {items.map((item, index) => (
          <Cell
            {...rooms}
            key={item.entry}
            item={item}
            isChosen={chosen.has(item.entry)}
            isPrinting={printing.isPrinting}
            choose={() => choose(item.entry)}
            open={() => open({ photos: through, first: index })}
            onSettled={() => printing.settle(item.entry)}
          />
        ))}
      </ul>
      {opened !== null && (
        <PhotoViewer {...rooms} {...opened} acts={acts} toStep={undefined} onClose={() => open(null)} />
      )}
    </>
  )
}
