/** An act at a desk that may not be kept: whether it is under way, and what hindered it. */
import { useRef, useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../store'

export interface Keeping {
  isBusy: boolean
  trouble: Trouble | null
  /** @returns whether it was kept: not so a second press while one is under way. What is no refusal of the store is thrown on. */
  keep: (act: () => Promise<unknown>) => Promise<boolean>
  /** What hinders an act before the store is asked: the workshop's own refusal. */
  refuse: (trouble: Trouble) => void
}

export function useKeeping(): Keeping {
  const [isBusy, setBusy] = useState(false)
  const isUnderWay = useRef(false) // known before the key is drawn anew
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const keep = async (act: () => Promise<unknown>) => {
    if (isUnderWay.current) return false
    isUnderWay.current = true
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
      isUnderWay.current = false
      setBusy(false)
    }
  }
  return { isBusy, trouble, keep, refuse: setTrouble }
}
