import type { Rooms } from '../rooms'

export function Audit({ store }: Rooms) {
  return (
    <main class="frame">
      <h1 class="t-title">{store.device.value?.workshopName}</h1>
    </main>
  )
}
