/** Evidence bags that the workshop packs, and this device saves as one file. */
import { useState } from 'preact/hooks'
import type { Trouble } from '../../store'
import type { Rooms } from '../rooms'
import { saveFile } from '../save-file'

/** What leaves the workshop beside the record itself. */
export interface Wishes {
  /** The photos as they were signed; else copies, of which nothing is proven. */
  originals: boolean
  /** VIN and plate. */
  vin: boolean
  /** Names, telephone, words and signatures. */
  notes: boolean
  /** Certificates of the tools, permits of the persons. */
  papers: boolean
}

export const TO_BEGIN_WITH: Wishes = { originals: true, vin: false, notes: false, papers: false }

/** Wishes as `/api/bags` and a job's bag take them. */
export const wished = ({ originals, ...groups }: Wishes) => ({
  with: (['vin', 'notes', 'papers'] as const).filter((group) => groups[group]).join(','),
  originals: originals ? '1' : '0',
})

export function useTaking({ sync }: Pick<Rooms, 'sync'>) {
  const [isBusy, setBusy] = useState(false)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  /**
   * @param called the file's name; absent: as the workshop calls it
   * @returns the name it was saved under; null where it was not
   */
  const take = async (path: string, question?: object, called?: string): Promise<string | null> => {
    setBusy(true)
    const answer = await sync.askBytes(path, question)
    setBusy(false)
    setTrouble(answer.ok ? null : answer.trouble)
    if (!answer.ok) return null
    const name = called ?? answer.value.name
    saveFile(answer.value, name)
    return name
  }
  return { isBusy, trouble, take }
}
