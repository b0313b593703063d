/** A file beside a statement: a certificate, a picture of a set. It is kept like a photo, under its hash. */
import type { Body } from '../../ledger/bodies'
import { sizeWords } from '../../work/format'
import { Framed } from './form'
import * as says from '../../words/en/desk/file-field'
import { t } from '../../words/message'
import type { Writing } from '../../store'

export type Document = NonNullable<Body<'tool.calibrated'>['document']>

/** A scan of some pages, or a photo of a certificate. */
const MOST_BYTES = 20_000_000
const PICTURES = ['image/jpeg', 'image/png', 'image/webp']
const DOCUMENTS = [...PICTURES, 'application/pdf']

/** What is wrong with a file, and what to do; undefined where nothing is. */
export function fileFault(file: File | null, types: readonly string[] = DOCUMENTS): string | undefined {
  if (file === null) return undefined
  if (!types.includes(file.type)) return t(says.wrongType, { isPicture: types === PICTURES })
  if (file.size === 0) return t(says.empty)
  return file.size > MOST_BYTES
    ? t(says.tooLarge, { size: sizeWords(file.size), most: sizeWords(MOST_BYTES) })
    : undefined
}

export const pictureFault = (file: File | null): string | undefined => fileFault(file, PICTURES)

/** Keep a file with the statement that is being written. */
export const documentOf = async (w: Writing, file: File): Promise<Document> => ({
  blob: await w.photo(file),
  size: file.size,
  type: file.type,
})

interface FileFieldProps {
  label: string
  hint?: string
  file: File | null
  fault: string | undefined
  onFile: (file: File | null) => void
  isPicture?: boolean
}

export function FileField({ label, hint, file, fault, onFile, isPicture = false }: FileFieldProps) {
  return (
    <Framed label={label} hint={hint} fault={fault}>
      {(named) => (
        <>
          <input
            {...named}
            type="file"
            accept={(isPicture ? PICTURES : DOCUMENTS).join()}
            onChange={(event) => onFile(event.currentTarget.files?.[0] ?? null)}
          />
          {file !== null && fault === undefined && <p class="d-small">{sizeWords(file.size)}</p>}
        </>
      )}
    </Framed>
  )
}
