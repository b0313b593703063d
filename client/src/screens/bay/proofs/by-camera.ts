/** Chunk: what begins with the camera, with what judges a photo and reads a label. */
export { CodeFinder } from './code'
export { LotScreen } from './lot'
export { PhotoScreen } from './photo'
export { TagScreen } from './tool-tag'
