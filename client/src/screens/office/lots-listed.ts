/** The lots that were fitted, as the workshop lists them, and what is here of them. */
import type { LotsAnswer } from '../../ledger/answers'
import type { Trouble } from '../../store'
import { lotLines, lotsOf, type LotLine } from '../../work/lots'
import { recallsOf } from '../../work/recalls'
import type { Rooms } from '../rooms'
import { useList } from './from-server'
import { useFitted, useStatements } from './from-store'

interface Lots {
  /** Null until there is something to list. */
  lines: LotLine[] | null
  trouble: Trouble | null
  older: (() => void) | null
}

export function useLots(rooms: Rooms): Lots {
  const { answer, older } = useList<LotsAnswer>(rooms, '/api/lots', undefined, 'lots')
  const statements = useStatements(rooms)
  const fitted = useFitted(rooms)
  if (answer === null || statements === null || fitted === null)
    return { lines: null, trouble: null, older: null }
  const listed = answer.ok ? [...answer.value.recalled, ...answer.value.lots] : []
  const lines = lotLines(listed, lotsOf(fitted, recallsOf(statements)))
  return { lines, trouble: answer.ok ? null : answer.trouble, older }
}
