/** What lies over the camera's picture: an outline to frame by, square on, and the key of the phone's own lamp. */
import { useState } from 'preact/hooks'
import * as words from '../../../words/en/bay/proofs/finder'
import { t } from '../../../words/message'

const OUTLINE = 'M5 20V5H22M78 5H95V20M95 80V95H78M22 95H5V80M46 50H54M50 47V53'

export function Outline() {
  return (
    <svg class="finder-outline" viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true">
      <path d={OUTLINE} vector-effect="non-scaling-stroke" />
      <path d={OUTLINE} vector-effect="non-scaling-stroke" />
    </svg>
  )
}

export function LampKey({ light }: { light: (lit: boolean) => Promise<boolean> }) {
  const [isLit, setLit] = useState(false)
  return (
    <button
      type="button"
      class="lamp-key"
      aria-pressed={isLit}
      onClick={() => void light(!isLit).then(setLit)}
    >
      <svg width="44" height="40" viewBox="0 0 44 38" aria-hidden="true">
        <path d="M15 22a10 10 0 1 1 14 0v5H15ZM16 32h12" />
        <path d="M22 1v-4M6 7 3 4M38 7l3-3M2 19h-4M42 19h4" opacity={isLit ? 1 : 0} />
      </svg>
      {t(words.lamp)}
    </button>
  )
}
