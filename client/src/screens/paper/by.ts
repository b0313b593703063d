/** Who hands a vehicle over: the workshop of this device. */
import type { HandedBy } from '../../work/hand-over'
import type { Rooms } from '../rooms'

export function handedBy({ store }: Pick<Rooms, 'store'>): HandedBy {
  const device = store.device.value
  return { workshop: device?.workshop ?? '', workshopName: device?.workshopName ?? '' }
}
