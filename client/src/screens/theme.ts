/** The three lights a phone is read in; kept with the device's settings. */
import { signal, type ReadonlySignal } from '@preact/signals'
import type { Store } from '../store'

export type Theme = 'indoors' | 'sun' | 'night'

export const THEMES: readonly Theme[] = ['indoors', 'sun', 'night']
const SETTING = 'theme'

const shown = signal<Theme>('indoors')

export const theme: ReadonlySignal<Theme> = shown

function show(chosen: Theme): void {
  shown.value = chosen
  document.documentElement.dataset['theme'] = chosen
}

export async function loadTheme(store: Store): Promise<void> {
  const kept = await store.setting(SETTING)
  const chosen = THEMES.find((name) => name === kept)
  show(chosen ?? (matchMedia('(prefers-color-scheme: dark)').matches ? 'night' : 'indoors'))
}

export async function setTheme(store: Store, chosen: Theme): Promise<void> {
  show(chosen)
  await store.setSetting(SETTING, chosen)
}
