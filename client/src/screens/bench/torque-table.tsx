/** Every torque of the procedure against the wrenches on its board. */
import type { Document } from 'yaml'
import { lengthAt, namesAt, wordsAt, type Path } from './edits'
import { Words } from './fields'
import * as words from '../../words/en/bench/torque-table'
import { t } from '../../words/message'

export interface TorqueRow {
  step: number
  number: string
  title: string
  nm: string
  angleDeg: string | null
  /** The bolts that it is for, in their order. */
  bolts: string[]
  /** The wrenches whose range it is in. */
  wrenches: string[]
}

/** A wrench is read to a fifth of its scale at the least, as the check has it. */
const LEAST_OF_SCALE = 0.2

export function torquesOf(document: Document): TorqueRow[] {
  const wrenches = namesAt(document, ['tools']).flatMap((slot) => {
    const said = (name: string) => wordsAt(document, ['tools', slot, name])
    if (said('unit') !== 'N·m') return []
    return [{ label: said('label') ?? slot, low: Number(said('low')), high: Number(said('high')) }]
  })
  return [...Array(lengthAt(document, ['steps'])).keys()].flatMap((step): TorqueRow[] => {
    const at = (...path: Path) => ['steps', step, ...path]
    const nm = wordsAt(document, at('torque', 'nm'))
    if (nm === null) return []
    const reach = wrenches.filter(
      ({ low, high }) => Number(nm) >= Math.max(low, LEAST_OF_SCALE * high) && Number(nm) <= high,
    )
    const bolts = [...Array(lengthAt(document, at('torque', 'sequence'))).keys()]
    return [
      {
        step,
        number: wordsAt(document, at('number')) ?? '',
        title: wordsAt(document, at('title')) ?? '',
        nm,
        angleDeg: wordsAt(document, at('torque', 'angle_deg')),
        bolts: bolts.map((nth) => wordsAt(document, at('torque', 'sequence', nth)) ?? ''),
        wrenches: reach.map(({ label }) => label),
      },
    ]
  })
}

interface TorqueTableProps {
  document: Document
  change: (path: Path, said: string) => void
  choose: (step: number) => void
}

export function TorqueTable({ document, change, choose }: TorqueTableProps) {
  const rows = torquesOf(document)
  if (rows.length === 0) return null
  return (
    <>
      <h2 class="phase-head">{t(words.torques)}</h2>
      <ul class="bench-torques">
        {rows.map(({ step, number, title, nm, angleDeg, bolts, wrenches }) => (
          <li key={step}>
            <button type="button" class="bench-line" onClick={() => choose(step)}>
              {number} {title}
            </button>
            <Words
              label={t(words.newtonMetres, { number })}
              value={nm}
              onValue={(value) => change(['steps', step, 'torque', 'nm'], value)}
            />
            {angleDeg !== null && (
              <Words
                label={t(words.degrees, { number })}
                value={angleDeg}
                onValue={(value) => change(['steps', step, 'torque', 'angle_deg'], value)}
              />
            )}
            <p class="d-text">
              {bolts.length > 0 && <span>{t(words.bolts, { bolts: bolts.join(' · ') })} </span>}
              {wrenches.length > 0 ? (
                t(words.byWrench, { wrenches: wrenches.join(', ') })
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
