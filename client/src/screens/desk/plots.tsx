/** Small plots of figures, drawn plainly: bars that begin at nought, each with its figure beside it. The table stands behind. */
import type { ComponentChildren } from 'preact'
import { Heads } from '../office/heads'
import * as says from '../../words/en/desk/plots'
import { t } from '../../words/message'

export interface Bar {
  label: string
  value: number
  /** The figure as it is told. */
  says: string
  /** A thin mark further along: what one in ten exceeds. */
  mark?: number | null
}

/** Of the drawing's width. The longest bar fills it. */
const WIDTH = 1000
const HEIGHT = 16

/**
 * Horizontal bars under their words, each with its figure: they need no legend, words never turn, and a phone's width is
 * enough. What is drawn is said by the words, so that nobody needs to see it.
 *
 * @param most what the longest bar could be, where that is known: a hundred per cent
 */
export function Bars({ bars, label, most }: { bars: readonly Bar[]; label: string; most?: number }) {
  const end = most ?? Math.max(...bars.flatMap(({ value, mark }) => [value, mark ?? 0]), 1e-9)
  const long = (value: number) => (value / end) * WIDTH
  return (
    <ul class="plot" aria-label={label}>
      {bars.map(({ label: what, value, says, mark }) => (
        <li key={what}>
          <p>
            {what} <b>{says}</b>
          </p>
          <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
            <rect class="plot-rest" width={WIDTH} height={HEIGHT} />
            <rect class="plot-bar" width={long(value)} height={HEIGHT} />
            {mark != null && <rect class="plot-mark" x={long(mark) - 3} width="6" height={HEIGHT} />}
          </svg>
        </li>
      ))}
    </ul>
  )
}

interface TableProps {
  head: readonly string[]
  rows: readonly (readonly ComponentChildren[])[]
}

/** The figures themselves, behind the drawing. */
export function TableBehind({ head, rows }: TableProps) {
  return (
    <details class="more">
      <summary>{t(says.table)}</summary>
      <div class="wide-table" tabIndex={0} role="region" aria-label={t(says.table)}>
        <table class="figures-table">
          <Heads names={head} />
          <tbody>
            {rows.map((cells, row) => (
              <tr key={row}>
                {cells.map((cell, column) => (
                  <td key={column}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  )
}
