/** What a screen of one act is handed, whatever the act. */
import type { HeadProps } from '../../parts/head'
import type { Trouble } from '../../store'

export interface ActProps {
  head: HeadProps
  trouble: Trouble | null
  back: () => void
}
