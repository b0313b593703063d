/** Where the customer signs. Pure. */
import type { Bundle } from '../procedure/bundle'

/** The step at which the vehicle is handed over: the last of the order, where it asks for a signature. Null: none does. */
export function handOverStep({ steps }: Pick<Bundle, 'steps'>): string | null {
  const last = steps.filter(({ undo }) => !undo).at(-1)
  return last?.proof.some(({ kind }) => kind === 'signature') ? last.id : null
}
