/** A job's vehicle in a list: its plate, its engine and how far it has gone. What nobody may read here is null. */
import { dialUnit, dialWords } from './dial-unit'
import * as words from '../words/en/work/vehicle-words'
import { t } from '../words/message'

/** What is known, with commas between. */
export const listed = (...known: readonly (string | null)[]): string =>
  known.filter((each) => each !== null).join(', ')

export const plateWords = (plate: string | null): string => plate ?? t(words.plateNotHere)

/** A distance as its dial shows it, with the kilometres on record; null where it is not known. */
export const distanceWords = (km: number | null, unit: 'mi' | null): string | null =>
  km === null ? null : dialWords(km, dialUnit(unit))

export const engineWords = (engineCode: string | null, km: number | null, unit: 'mi' | null): string =>
  listed(engineCode, distanceWords(km, unit))
