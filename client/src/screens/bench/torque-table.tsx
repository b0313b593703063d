/** Every torque of the procedure against its fasteners and the wrenches on its board. */
import type { Document } from 'yaml'
import type { Bundle } from '../../procedure/bundle'
import { wordsAt, type Path } from './edits'
import { Words } from './fields'
import { torquesOf, type TorqueRow } from './torques'
import * as words from '../../words/en/bench/torque-table'
import { t } from '../../words/message'

interface TorqueTableProps {
  document: Document
  /** As it compiled last. */
  bundle: Bundle
  change: (path: Path, said: string) => void
  choose: (step: string, path: Path) => void
}

export function TorqueTable({ document, bundle, change, choose }: TorqueTableProps) {
  const rows = torquesOf(bundle, document)
  if (rows.length === 0) return null
  return (
    <>
      <h2 class="phase-head">{t(words.torques)}</h2>
      <ul class="bench-torques">
        {rows.map((row) => (
          <li key={row.id}>
            <Figures row={row} document={document} change={change} choose={choose} />
            <p class="d-text">
              {row.bolts.length > 0 && <span>{t(words.bolts, { bolts: row.bolts.join(' · ') })} </span>}
              {row.wrenches.length > 0 ? (
                t(words.byWrench, { wrenches: row.wrenches.join(', ') })
              ) : (
                <b class="act-words">{t(words.noWrench)}</b>
              )}
            </p>
          </li>
        ))}
      </ul>
    </>
  )
}

type FiguresProps = Omit<TorqueTableProps, 'bundle'> & { row: TorqueRow }

/** A torque as it can be typed; one of a block is filled in there. */
function Figures({ row, document, change, choose }: FiguresProps) {
  const { id, number, title, nm, angleDeg, at } = row
  if (at === null)
    return (
      <p class="d-text">
        <b>
          {number} {title}
        </b>
        : {angleDeg === null ? t(words.ofBlock, { nm }) : t(words.ofBlockAndOn, { nm, deg: angleDeg })}
      </p>
    )
  return (
    <>
      <button type="button" class="bench-line" onClick={() => choose(id, at)}>
        {number} {title}
      </button>
      <Words
        label={t(words.newtonMetres, { number })}
        value={wordsAt(document, [...at, 'nm']) ?? nm}
        onValue={(value) => change([...at, 'nm'], value)}
      />
      {angleDeg !== null && (
        <Words
          label={t(words.degrees, { number })}
          value={wordsAt(document, [...at, 'angle_deg']) ?? angleDeg}
          onValue={(value) => change([...at, 'angle_deg'], value)}
        />
      )}
    </>
  )
}
