/** The order in which bolts are tightened: as they stand, seen from above, where their names say how. */
import type { ComponentChildren } from 'preact'
import { boltPlaces } from '../../../work/bolt-places'
import './proofs.css'
import * as says from '../../../words/en/bay/proofs/sequence'
import { t } from '../../../words/message'

const SIDES = ['start', 'center', 'end']

/** What is held, from above: each bolt where it stands. */
export function Held({ bolts, each }: { bolts: readonly string[]; each: (at: number) => ComponentChildren }) {
  const places = boltPlaces(bolts)
  if (places === null) return null
  return (
    <div class="held">
      <p>
        <svg width="14" height="18" viewBox="0 0 14 18" aria-hidden="true">
          <path d="M7 18V2M1 8 7 2 13 8" />
        </svg>
        {t(says.front)}
      </p>
      <ol aria-label={t(says.orderOfTheBolts)}>
        {places.map(({ row, column }, at) => (
          <li style={{ gridArea: `${row} / ${column}`, justifySelf: SIDES[column - 1] }}>{each(at)}</li>
        ))}
      </ol>
    </div>
  )
}

const Numbered = ({ bolts, at }: { bolts: readonly string[]; at: number }) => (
  <>
    {bolts.length > 1 && <b aria-hidden="true">{at + 1}</b>}
    {bolts[at]}
  </>
)

export function Sequence({ bolts }: { bolts: readonly string[] }) {
  if (bolts.length === 0) return null
  const each = (at: number) => <Numbered bolts={bolts} at={at} />
  if (boltPlaces(bolts)) return <Held bolts={bolts} each={each} />
  return (
    <ol class="sequence" aria-label={t(says.orderOfTheBolts)}>
      {bolts.map((_, at) => (
        <li>{each(at)}</li>
      ))}
    </ol>
  )
}
