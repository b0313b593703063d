/** What hinders, and what to do: read out when it comes. */
import type { Trouble } from '../store'

export function TroubleWords({ trouble }: { trouble: Trouble | null }) {
  return (
    <div role="alert">
      {trouble && (
        <p>
          <b>{trouble.message}</b> {trouble.hint}
        </p>
      )}
    </div>
  )
}
