/** Sync's door. */
export type { Answer, Sync, SyncState, SyncStatus } from './types'
