/** What a key does once it is tapped, or held to its end. */
export interface Deed {
  (): Promise<void>
  /**
   * Make it ready while the finger is still down: in so many ms it is done, by what this returns. Where that is not
   * called nothing was done.
   */
  ahead?: (inMs: number) => () => Promise<void>
}

/** The same deed, with something around it that is done when it is. */
export const around = (deed: Deed, act: (deed: () => Promise<void>) => Promise<void>): Deed =>
  Object.assign(() => act(deed), {
    ahead: (inMs: number) => {
      const ready = deed.ahead?.(inMs) ?? deed
      return () => act(ready)
    },
  })
