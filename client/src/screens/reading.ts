/**
 * What an effect reads for its screen: told when it is here, unless the screen has gone or asks anew.
 *
 *     useEffect(() => reading(store.jobs(), setRows), [store, changed])
 *
 * Without that a slow answer to an earlier question would be shown over a quick one to the last.
 *
 * @returns what lets go of it: the effect's own answer
 */
export function reading<T>(read: Promise<T>, tell: (found: T) => void): () => void {
  let gone = false
  void read.then((found) => {
    if (!gone) tell(found)
  })
  return () => {
    gone = true
  }
}
