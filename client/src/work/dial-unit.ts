/** In what an odometer counts, for whoever reads the dial: the record is in kilometres. Pure. */
import type { Held } from '../store'
import { kmWords } from './format'
import { KM_A_MILE } from './odometer'
import * as words from '../words/en/work/dial-unit'
import { t } from '../words/message'

export type DialUnit = 'km' | 'mi'

/** As the workshop's lists tell it. */
export const dialUnit = (told: 'mi' | null | undefined): DialUnit => told ?? 'km'

/** As a form has it. */
export const dialUnitIn = ({ inMiles }: { inMiles: boolean }): DialUnit => (inMiles ? 'mi' : 'km')

/** As it was said when the job was opened; before that, with the call. */
export function dialUnitOf(held: readonly Held[]): DialUnit {
  const said = (kind: string) =>
    held.flatMap(({ entry }) =>
      entry.kind === kind ? [(entry.body as { odometer_unit?: DialUnit }).odometer_unit] : [],
    )
  const opened = said('job.opened')
  return (opened.length > 0 ? opened[0] : said('enquiry.taken').at(-1)) ?? 'km'
}

/** What the dial shows, whole. */
export const onDial = (km: number, unit: DialUnit): number =>
  unit === 'mi' ? Math.round(km / KM_A_MILE) : km

/** As it is typed anew. */
export const asDialled = (km: number | undefined, unit: DialUnit | undefined) => ({
  odometer: km === undefined ? '' : String(onDial(km, unit ?? 'km')),
  inMiles: unit === 'mi',
})

/** Where there is little room: what the dial shows alone. */
export const dialAlone = (km: number, unit: DialUnit): string =>
  unit === 'mi' ? t(words.milesAlone, { miles: onDial(km, unit) }) : kmWords(km)

/** '55 000 miles (88 514 km)' */
export const dialWords = (km: number, unit: DialUnit): string =>
  unit === 'mi' ? t(words.miles, { miles: onDial(km, unit), km }) : kmWords(km)
