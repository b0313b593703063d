/** Which hand holds the phone: the deck mirrors. Kept with the device's settings. */
import { signal, type ReadonlySignal } from '@preact/signals'
import type { Store } from '../../store'

export type Hand = 'left' | 'right'

const SETTING = 'hand'
const chosen = signal<Hand>('right')

export const hand: ReadonlySignal<Hand> = chosen

export async function loadHand(store: Store): Promise<void> {
  chosen.value = (await store.setting(SETTING)) === 'left' ? 'left' : 'right'
}

export async function setHand(store: Store, next: Hand): Promise<void> {
  chosen.value = next
  await store.setSetting(SETTING, next)
}
