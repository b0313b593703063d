/** A file of the workshop's registers: asked for when somebody wants it, and checked against its hash before it is handed over. */
import { useState } from 'preact/hooks'
import type { Body } from '../../ledger/bodies'
import { blobId } from '../../ledger/private'
import type { Trouble } from '../../store'
import { sizeWords } from '../../work/format'
import { saveFile } from '../save-file'
import type { Rooms } from '../rooms'
import { TroubleLine } from './shell'
import { TextKey } from '../text-key'
import * as says from '../../words/en/office/document'
import { t } from '../../words/message'

type Document = NonNullable<Body<'tool.calibrated'>['document']>

/** How files of a type are called, by the last part of its name. */
const endingOf = (type: string): string => type.slice(type.indexOf('/') + 1)

async function bytesOf({ store, sync }: Rooms, { blob }: Document): Promise<Blob | Trouble> {
  const here = await store.photo(blob)
  if (here) return here
  const answer = await sync.askBytes(`/api/blobs/${blob}`)
  if (!answer.ok) return answer.trouble
  const isIt = (await blobId(new Uint8Array(await answer.value.arrayBuffer()))) === blob
  return isIt ? answer.value : { code: 'altered', message: t(says.altered), hint: t(says.alteredHint) }
}

/** @param name of the file, without its ending */
export function DocumentKey({ of, name, ...rooms }: Rooms & { of: Document; name: string }) {
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const open = async () => {
    setTrouble(null)
    const bytes = await bytesOf(rooms, of)
    if (!(bytes instanceof Blob)) return setTrouble(bytes)
    saveFile(new Blob([bytes], { type: of.type }), `${name}.${endingOf(of.type)}`)
  }
  return (
    <>
      <TextKey says={t(says.save, { name, size: sizeWords(of.size) })} onPress={() => void open()} />
      <TroubleLine trouble={trouble} />
    </>
  )
}
