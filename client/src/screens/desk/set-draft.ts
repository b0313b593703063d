/** What a form of a set asks for, checked before it is signed: facts and what to do, by field. Pure but for its pictures. */
import type { Body } from '../../ledger/bodies'
import type { Document } from './file-field'
import type { RegisteredSet } from '../../work/sets'
import { toolKey } from '../../work/spelling'
import * as words from '../../words/en/desk/set-draft'
import { t } from '../../words/message'

export interface PieceDraft {
  piece: string
  says: string
  /** What was chosen now; else what stands on the register. */
  file: File | null
  picture: Document | null
}

export interface SetDraft {
  set: string
  type: string
  label: string
  /** Separated by commas. */
  engines: string
  pieces: PieceDraft[]
  file: File | null
  picture: Document | null
}

export interface SetFaults {
  set?: string
  label?: string
  engines?: string
  pieces?: string
}

const MOST_PIECES = 100

export const NEW_PIECE: PieceDraft = { piece: '', says: '', file: null, picture: null }

export const draftOf = (set: RegisteredSet | null, type: string): SetDraft => ({
  set: set?.set ?? '',
  type: set?.type ?? type,
  label: set?.label ?? '',
  engines: set?.engine_codes.join(', ') ?? '',
  pieces: set
    ? set.pieces.map(({ piece, says, picture }) => ({
        piece,
        says: says ?? '',
        file: null,
        picture: picture ?? null,
      }))
    : [NEW_PIECE],
  file: null,
  picture: set?.picture ?? null,
})

const tidy = (text: string): string => text.normalize('NFC').trim()
const enginesOf = (text: string): string[] => [...new Set(text.split(/[,;]/).map(tidy).filter(Boolean))]
const filled = (pieces: readonly PieceDraft[]): PieceDraft[] =>
  pieces.filter(({ piece }) => tidy(piece) !== '')

/** @param known numbers of the other sets that are there */
export function faultsOf(draft: SetDraft, known: readonly string[]): SetFaults {
  const faults: SetFaults = {}
  const [set, label] = [tidy(draft.set), tidy(draft.label)]
  const doubled = known.find((each) => toolKey(each) === toolKey(set))
  if (set === '') faults.set = t(words.setMissing)
  else if ([...set].length > 64) faults.set = t(words.setTooLong)
  else if (doubled !== undefined) faults.set = t(words.setTaken, { doubled })
  if (label === '') faults.label = t(words.labelMissing)
  else if ([...label].length > 200) faults.label = t(words.tooLong)
  if (enginesOf(draft.engines).some((code) => [...code].length > 64)) faults.engines = t(words.codeTooLong)
  const pieces = filled(draft.pieces)
  if (pieces.length === 0) faults.pieces = t(words.piecesMissing)
  else if (pieces.length > MOST_PIECES) faults.pieces = t(words.tooManyPieces, { most: MOST_PIECES })
  else if (pieces.some(({ piece, says }) => [...piece].length > 200 || [...says].length > 200))
    faults.pieces = t(words.tooLong)
  return faults
}

export const isFine = (faults: SetFaults): boolean => Object.keys(faults).length === 0

/** @param keep a picture that was chosen becomes one that is kept */
export async function bodyOf(
  draft: SetDraft,
  keep: (file: File) => Promise<Document>,
): Promise<Body<'set.registered'>> {
  const pictureOf = async (file: File | null, picture: Document | null) => {
    const kept = file ? await keep(file) : picture
    return kept ? { picture: kept } : {}
  }
  const pieces: Body<'set.registered'>['pieces'] = []
  for (const { piece, says, file, picture } of filled(draft.pieces))
    pieces.push({
      piece: tidy(piece),
      ...(tidy(says) === '' ? {} : { says: tidy(says) }),
      ...(await pictureOf(file, picture)),
    })
  return {
    set: tidy(draft.set),
    type: draft.type,
    label: tidy(draft.label),
    engine_codes: enginesOf(draft.engines),
    pieces,
    ...(await pictureOf(draft.file, draft.picture)),
  }
}
