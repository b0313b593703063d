/** Writing from the desk: what was not kept is told beside the form it came from, and thrown so that the form stays as it is. */
import { useState } from 'preact/hooks'
import { NotKept, type Trouble } from '../../store'
import type { Rooms } from '../rooms'

export type Build = Parameters<Rooms['store']['write']>[1]
export type Write = (build: Build) => Promise<void>

export function useWriting({ store }: Rooms, job: string | null): { write: Write; trouble: Trouble | null } {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const write: Write = async (build) => {
    setTrouble(null)
    try {
      await store.write(job, build)
    } catch (error) {
      if (error instanceof NotKept) setTrouble(error.trouble)
      throw error
    }
  }
  return { write, trouble }
}
