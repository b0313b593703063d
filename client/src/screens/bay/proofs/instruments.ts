/** Chunk: the screens of the phone's own instruments, with what they measure by. */
export { MarksScreen } from './marks'
export { PluckScreen } from './pluck'
export { TurnScreen } from './turn'
