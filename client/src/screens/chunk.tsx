/**
 * Screens that come as a chunk of their own: their code is evaluated when they are asked for, or once the first screen
 * stands. The service worker has every chunk on the phone before it serves any (`kept-build.ts`); one can be missing
 * only before that, or where the browser has thrown the app's files away.
 */
import { signal, type ReadonlySignal } from '@preact/signals'
import type { ComponentType } from 'preact'
import { useEffect } from 'preact/hooks'
import { canHavePage } from '../sync/page'
import * as words from '../words/en/chunk'
import { t } from '../words/message'

type State<M> = { at: 'coming' } | { at: 'missing'; error: unknown } | { at: 'here'; module: M }

export interface Chunk<M> {
  readonly state: ReadonlySignal<State<M>>
  /** Resolves when it is here, or is known to be missing; one that is missing is tried again. */
  come(): Promise<void>
}

export function chunk<M>(load: () => Promise<M>): Chunk<M> {
  const state = signal<State<M>>({ at: 'coming' })
  let coming: Promise<void> | null = null
  const come = () => {
    coming ??= load().then(
      (module) => {
        state.value = { at: 'here', module }
      },
      (error: unknown) => {
        state.value = { at: 'missing', error }
        coming = null
      },
    )
    return coming
  }
  return { state, come }
}

interface Page {
  canBeHad(): Promise<boolean>
  reload(): void
}
const thisPage: Page = { canBeHad: canHavePage, reload: () => location.reload() }

/**
 * Asked for by hand. Some browsers answer a fetch that failed once by the same failure for as long as the page is open:
 * then the page is opened anew, unless it cannot be had either, which would leave nothing on the screen.
 */
export async function insist(from: Chunk<unknown>, { canBeHad, reload }: Page = thisPage): Promise<void> {
  await from.come()
  if (from.state.value.at !== 'missing') return
  if (await canBeHad()) reload()
}

/** A screen of a chunk, or a part of one, as if it were here: it is shown at once if it is, and until then what comes. */
export function screenOf<M, P extends object>(
  from: Chunk<M>,
  pick: (module: M) => ComponentType<P>,
  Until: ComponentType = Coming,
) {
  return function ChunkScreen(props: P) {
    const state = from.state.value
    useEffect(() => void from.come(), [])
    if (state.at === 'missing') return <Missing error={state.error} from={from} />
    if (state.at === 'coming') return <Until />
    const Screen = pick(state.module)
    return <Screen {...props} />
  }
}

/** A screen that is a chunk by itself. */
export const screenAlone = <M, P extends object>(
  load: () => Promise<M>,
  pick: (module: M) => ComponentType<P>,
) => screenOf(chunk(load), pick)

function Coming() {
  return (
    <main class="frame" aria-busy="true">
      <h1 class="t-title">{t(words.coming)}</h1>
    </main>
  )
}

/** Tried again by itself when there is a line: what was begun before this screen is still where it was. */
function Missing({ error, from }: { error: unknown; from: Chunk<unknown> }) {
  useEffect(() => {
    const again = () => void from.come()
    addEventListener('online', again)
    return () => removeEventListener('online', again)
  })
  return (
    <main class="frame">
      <div role="alert">
        <h1 class="t-title">{t(words.missing)}</h1>
        <p>{t(words.missingHint)}</p>
      </div>
      <p class="quiet">{String(error)}</p>
      <button type="button" class="wide-key t-key" onClick={() => void insist(from)}>
        {t(words.tryAgain)}
      </button>
      <button type="button" class="side-key t-key" onClick={() => history.back()}>
        {t(words.back)}
      </button>
    </main>
  )
}
