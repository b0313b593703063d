/** What was stated in audits, read from the store; again whenever something kept here has changed. */
import { useEffect, useState } from 'preact/hooks'
import type { Held } from '../../store'
import { AUDITED } from '../../work/audits'
import { reading, useChanged } from '../reading'
import type { Rooms } from '../rooms'

/** Null until they are read. */
export function useAudits({ store }: Rooms): readonly Held[] | null {
  const [statements, setStatements] = useState<readonly Held[] | null>(null)
  const changed = useChanged(store)
  useEffect(() => reading(store.statements([...AUDITED]), setStatements), [store, changed])
  return statements
}
