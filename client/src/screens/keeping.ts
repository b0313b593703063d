/** An act at a desk that may not be kept: whether it is under way, and what hindered it. */
import { useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../store'

export interface Keeping {
  isBusy: boolean
  trouble: Trouble | null
  /** @returns whether it was kept. What is no refusal of the store is thrown on. */
  keep: (act: () => Promise<unknown>) => Promise<boolean>
  /** What hinders an act before the store is asked: the workshop's own refusal. */
  refuse: (trouble: Trouble) => void
}

export function useKeeping(): Keeping {
  const [isBusy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const keep = async (act: () => Promise<unknown>) => {
    setBusy(true)
    setTrouble(null)
    try {
      await act()
      return true
    } catch (error) {
      if (!(error instanceof NotKept)) throw error
      setTrouble(error.trouble)
      return false
    } finally {
      setBusy(false)
    }
  }
  return { isBusy, trouble, keep, refuse: setTrouble }
}
