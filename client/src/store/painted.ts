/** A page that nobody looks at paints nothing: so long its next frame is waited for. */
const UNSEEN_MS = 100

/** Resolves when what is drawn now has been painted. */
export const painted = () =>
  new Promise<void>((done) => {
    const unseen = setTimeout(done, UNSEEN_MS)
    requestAnimationFrame(() => {
      clearTimeout(unseen)
      setTimeout(done)
    })
  })
