/** A job's vehicle in a list: its plate, its engine and how far it has gone. What nobody may read here is null. */
import { kmWords } from './format'
import * as words from '../words/en/work/vehicle-words'
import { t } from '../words/message'

/** What is known, with commas between. */
export const listed = (...known: readonly (string | null)[]): string =>
  known.filter((each) => each !== null).join(', ')

export const plateWords = (plate: string | null): string => plate ?? t(words.plateNotHere)

export const engineWords = (engineCode: string | null, odometerKm: number | null): string =>
  listed(engineCode, odometerKm === null ? null : kmWords(odometerKm))
