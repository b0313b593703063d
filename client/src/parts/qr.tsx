/** A link as a code for a phone's camera: drawn here, since whoever has the link gets in, and nobody else is shown it. */
import { encode } from 'uqr'
import * as words from '../words/en/parts/qr'
import { t } from '../words/message'

/** Light modules round it: a reader needs four (ISO/IEC 18004, 6.3.8, as its inventor and others quote it). */
const BORDER = 4

export function Code({ text }: { text: string }) {
  const { data, size } = encode(text, { ecc: 'L', border: BORDER })
  const dark = data.flatMap((row, y) => row.flatMap((isDark, x) => (isDark ? [`M${x} ${y}h1v1h-1z`] : [])))
  return (
    <svg
      class="code"
      viewBox={`0 0 ${size} ${size}`}
      shape-rendering="crispEdges"
      role="img"
      aria-label={t(words.linkAsACode)}
    >
      <rect width={size} height={size} fill="var(--iso-white)" />
      <path d={dark.join('')} fill="var(--iso-black)" />
    </svg>
  )
}
