/** A page that nobody looks at paints nothing: so long its next frame is waited for. */
const UNSEEN_MS = 100

/** Resolves when what is drawn now has been painted; at once on a page that is put away, whose clock may hardly go. */
export const painted = () =>
  new Promise<void>((done) => {
    if (globalThis.document?.hidden) return done()
    const unseen = setTimeout(done, UNSEEN_MS)
    requestAnimationFrame(() => {
      clearTimeout(unseen)
      setTimeout(done)
    })
  })
