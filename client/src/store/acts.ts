/**
 * What an act leaves in the journal, as text: a line for each thing, the very texts that IndexedDB
 * holds. `E entry line`, `V private value`, `P hash size type`, `D device`: none has a line break.
 */
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
}

export function actText({ entries, values, photos, device }: Written): string {
  return [
    ...(device ? [`D ${JSON.stringify(device)}`] : []),
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
    else if (line.startsWith('P ')) {
      const [blob = '', size = '', type = ''] = rest.split(' ')
      written.photos.push({ blob, size: Number(size), type })
    }
  }
  return written
}
