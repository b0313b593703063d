/** What the decoder's worker is asked, and what it answers: the texts in the frame, GS1 ones announced as such. */
export interface Frame {
  id: number
  frame: ImageBitmap
}
export type Found = { id: number; texts: string[] } | { id: number; failed: string }
