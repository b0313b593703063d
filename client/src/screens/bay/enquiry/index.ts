/** Chunk: a call, taken and read. */
export { Calls } from './calls'
export { CallScreens } from './call-screens'
