/**
 * What an act leaves in the journal, as text: a line for each thing, the very texts that IndexedDB
 * holds. `E entry line`, `V private value`, `P hash size type`, `D device`: none has a line break.
 * `L device first-last,...`: numbers of entries that are not here and need not be told. `U`, in the same form: of
 * these, those that were lost, and nobody has read so yet. An older app does not look at what it does not know.
 */
import type { Runs, Without } from './numbers'
import type { Device, PhotoName } from './types'

/** Who this phone is, without the secret: enough to say whose work was found. */
export type DeviceWords = Omit<Device, 'secret'>

export interface Written {
  /** Entry lines. */
  entries: string[]
  /** Private values, canonical JSON. */
  values: string[]
  photos: PhotoName[]
  device?: DeviceWords
  /** Left out because a backup has them, or lost and told. */
  without?: Without
  /** Of these: lost, and what was told of it stands. */
  unread?: Without
}

export function actText({ entries, values, photos, device, without = {}, unread = {} }: Written): string {
  return [
    ...(device ? [`D ${JSON.stringify(device)}`] : []),
    ...Object.entries(without).map(([id, runs]) => `L ${id} ${runsText(runs)}`),
    ...Object.entries(unread).map(([id, runs]) => `U ${id} ${runsText(runs)}`),
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
    else if (line.startsWith('U ')) written.unread = { ...written.unread, ...withoutFrom(rest) }
    else if (line.startsWith('P ')) {
      const [blob = '', size = '', type = ''] = rest.split(' ')
      written.photos.push({ blob, size: Number(size), type })
    }
  }
  return written
}

const runsText = (runs: Runs) => runs.map((run) => run.join('-')).join(',')

function withoutFrom(text: string): Without {
  const [device = '', runs = ''] = text.split(' ')
  return { [device]: runs.split(',').map((run) => run.split('-').map(Number) as [number, number]) }
}
