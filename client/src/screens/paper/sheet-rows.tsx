/** The rows of a hand-over sheet: on the phone, at the desk, on paper, and on the customer's own page. */
import type { ComponentChildren } from 'preact'
import { sectionsOf } from '../../work/sheet'
import './paper.css'

interface Row {
  under: string
  name: string
  says?: string | null
}

/** `wordsOf`: what stands for the private words of a row, where it has some. */
export function SheetRows<R extends Row>({
  rows,
  wordsOf,
}: {
  rows: readonly R[]
  wordsOf: (row: R) => ComponentChildren
}) {
  return sectionsOf(rows).map(({ under, rows: its }) => (
    <section class="sheet-part" key={under}>
      <h2>{under}</h2>
      <dl>
        {byName(its).map(([first, ...more], at) => (
          <div key={at}>
            <dt>{first.name}</dt>
            <dd>
              {[first, ...more].map((row) => (
                <>
                  <Line>{wordsOf(row)}</Line>
                  <Line>{row.says}</Line>
                </>
              ))}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  ))
}

/** What an entry has no room for in one row goes on in the next, of the same name: it is said once. */
function byName<R extends Row>(rows: readonly R[]): [R, ...R[]][] {
  const groups: [R, ...R[]][] = []
  for (const row of rows) {
    const last = groups.at(-1)
    if (last?.[0].name === row.name) last.push(row)
    else groups.push([row])
  }
  return groups
}

/** Whose words they are stays apart: what somebody wrote down, and what the sheet says of it. */
const Line = ({ children }: { children: ComponentChildren }) =>
  children ? <span class="sheet-line">{children}</span> : null
