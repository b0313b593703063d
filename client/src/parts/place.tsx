/**
 * Where a saved thing is: one line through three plates. On this phone fills one, in the workshop two, backed up three.
 */

import { PLACE_WORDS, type Place, type PlaceCounts } from '../work/shown'

/** The place of the whole is the place of its least safe part. */
export function placeOf(counts: PlaceCounts): Place {
  if (counts.phone > 0) return 'phone'
  return counts.workshop > 0 ? 'workshop' : 'backup'
}

export function placeWords(counts: PlaceCounts): string {
  const place = placeOf(counts)
  return place === 'phone' ? `${counts.phone} ${PLACE_WORDS.phone}` : PLACE_WORDS[place]
}

const REACH: Record<Place, number> = { phone: 1, workshop: 2, backup: 3 }

export function PlacePlates({ place, label }: { place: Place; label?: string }) {
  const reach = REACH[place]
  const spoken =
    label === undefined ? { 'aria-hidden': true as const } : { role: 'img' as const, 'aria-label': label }
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: `spoken` names it, or hides it beside words that say the same
    <svg class="plates" width="64" height="22" viewBox="0 0 64 22" {...spoken}>
      {[0, 1, 2].map((i) =>
        i < reach ? (
          <rect
            x={i * 22}
            y="2"
            width="20"
            height="18"
            fill="var(--seat)"
            stroke="var(--rim)"
            stroke-width="1.3"
          />
        ) : (
          <rect
            x={i * 22 + 1}
            y="3"
            width="18"
            height="16"
            fill="none"
            stroke="var(--line)"
            stroke-width="2"
          />
        ),
      )}
      {[0, 1, 2].slice(0, reach).map((i) => (
        <rect
          x={i * 22 + (i === 0 ? 3 : 0)}
          y="8.5"
          width={(i === 0 ? 17 : 20) - (i === reach - 1 && reach > 1 ? 3 : 0)}
          height="5"
          fill="var(--paint)"
        />
      ))}
    </svg>
  )
}
