/** Two to five large rows of which one is true. The chosen one has the thick edge and a filled mark: shape, then colour. */

interface ChoiceRow {
  id: string
  says: string
  note?: string
}

export function Choice({
  label,
  rows,
  chosen,
  onChoose,
}: {
  label: string
  rows: readonly ChoiceRow[]
  chosen: string | null
  onChoose: (id: string) => void
}) {
  return (
    <div class="choice" role="group" aria-label={label}>
      {rows.map((row) => (
        <button
          type="button"
          class="row-key"
          aria-pressed={row.id === chosen}
          onClick={() => onChoose(row.id)}
        >
          <svg width="30" height="30" viewBox="0 0 30 30" aria-hidden="true">
            <rect
              x="2"
              y="2"
              width="26"
              height="26"
              fill={row.id === chosen ? 'var(--seat)' : 'none'}
              stroke={row.id === chosen ? 'var(--rim)' : 'var(--line)'}
              stroke-width="2.6"
            />
            {row.id === chosen && <rect x="11" y="2" width="8" height="26" fill="var(--paint)" />}
          </svg>
          <span class="row-words">
            {row.says}
            {row.note !== undefined && <small>{row.note}</small>}
          </span>
        </button>
      ))}
    </div>
  )
}
