/** What the store says at a desk, which may be any device. */
import type { Trouble } from '../../store'

export const atDesk = ({ atDesk: said, ...trouble }: Trouble): Trouble => ({ ...trouble, ...said })
