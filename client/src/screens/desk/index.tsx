import type { Rooms } from '../rooms'

export function Desk({ store }: Rooms) {
  return (
    <main class="frame">
      <h1 class="t-title">{store.device.value?.workshopName}</h1>
    </main>
  )
}
