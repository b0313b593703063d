/**
 * What an act leaves in the journal, as text: a line for each thing, the very texts that IndexedDB
 * holds. `E entry line`, `V private value`, `P hash size type`, `D device`: none has a line break.
 * `L device first-last,...`: numbers of entries that are not here and need not be told.
 */
import type { Without } from './numbers'
import type { Device } from './types'

/** Who this phone is, without the secret: enough to say whose work was found. */
export type DeviceWords = Omit<Device, 'secret'>

export interface PhotoName {
  blob: string
  size: number
  type: string
}

export interface Written {
  /** Entry lines. */
  entries: string[]
  /** Private values, canonical JSON. */
  values: string[]
  photos: PhotoName[]
  device?: DeviceWords
  /** Left out because a backup has them, or lost and told. */
  without?: Without
}

export function actText({ entries, values, photos, device, without = {} }: Written): string {
  return [
    ...(device ? [`D ${JSON.stringify(device)}`] : []),
    ...Object.entries(without).map(([id, runs]) => `L ${id} ${runs.map((run) => run.join('-')).join(',')}`),
    ...values.map((text) => `V ${text}`),
    ...photos.map(({ blob, size, type }) => `P ${blob} ${size} ${type}`),
    ...entries.map((line) => `E ${line}`),
  ].join('\n')
}

export function readAct(text: string): Written {
  const written: Written = { entries: [], values: [], photos: [] }
  for (const line of text.split('\n')) {
    const rest = line.slice(2)
    if (line.startsWith('E ')) written.entries.push(rest)
    else if (line.startsWith('V ')) written.values.push(rest)
    else if (line.startsWith('D ')) written.device = JSON.parse(rest) as DeviceWords
    else if (line.startsWith('L ')) written.without = { ...written.without, ...withoutFrom(rest) }
    else if (line.startsWith('P ')) {
      const [blob = '', size = '', type = ''] = rest.split(' ')
      written.photos.push({ blob, size: Number(size), type })
    }
  }
  return written
}

function withoutFrom(text: string): Without {
  const [device = '', runs = ''] = text.split(' ')
  return { [device]: runs.split(',').map((run) => run.split('-').map(Number) as [number, number]) }
}
