/** The order of writing: which of the devices that this phone has been, and by its number. */
import type { Changing, Reading } from './database'
import { putSingle, single } from './singles'

/** Own entries are sent in the order of writing, after all that is offered again by its old place. */
const OWN_FROM = 2 ** 40
/** More than a device ever writes: each that this phone has been counts from 1. */
const EACH_DEVICE = 2 ** 32

/** Where an entry of this phone's own stands in the order of sending, by the rank of its device. */
export const orderOf = (rank: number, seq: number): number => OWN_FROM + rank * EACH_DEVICE + seq

/** Where a device stands among those that this phone has been: all of a former one's was written before. */
export async function rankOf(tx: Changing, device: string): Promise<number> {
  const kept = await single(tx, 'devices')
  const been = kept ?? [(await single(tx, 'device'))?.id ?? device] // an older build kept no list
  const all = been.includes(device) ? been : [...been, device]
  if (all !== kept) await putSingle(tx, 'devices', all)
  return all.indexOf(device)
}

const seqName = (device: string) => `seq ${device}`

/** The last `seq` this device has used; 0 before the first. */
export async function lastSeq(tx: Reading | Changing, device: string): Promise<number> {
  return ((await tx.objectStore('things').get(seqName(device))) as number | undefined) ?? 0
}

export async function putSeq(tx: Changing, device: string, seq: number): Promise<void> {
  await tx.objectStore('things').put(seq, seqName(device))
}

/** A number that was used is not given twice. */
export async function raiseSeq(tx: Changing, device: string, seq: number): Promise<void> {
  await putSeq(tx, device, Math.max(seq, await lastSeq(tx, device)))
}
