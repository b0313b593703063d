/** Which sizes a paper is printed in: the names are those of the `@page` rules in `paper.css`. */
import type { PaperName } from './address'
import * as words from '../../words/en/paper/sizes'
import { t } from '../../words/message'

/** Millimetres in the names. A4, A6, A7: ISO 216. The labels: sizes that rolls are sold in, common practice, no source. */
export type SizeName = 'a4' | 'phone' | 'label-62x29' | 'label-89x36' | 'label-100x50' | 'a6' | 'a7'

const said: Record<SizeName, string> = {
  a4: t(words.a4),
  phone: t(words.phone),
  'label-62x29': t(words.label, { width: 62, height: 29 }),
  'label-89x36': t(words.label, { width: 89, height: 36 }),
  'label-100x50': t(words.label, { width: 100, height: 50 }),
  a6: t(words.a6),
  a7: t(words.a7),
}
const sizes = (...names: SizeName[]) => names.map((name) => ({ name, says: said[name] }))

export const SIZES: Record<PaperName, readonly { name: SizeName; says: string }[]> = {
  sheet: sizes('a4', 'phone'),
  sticker: sizes('label-89x36', 'label-62x29', 'label-100x50'),
  tag: sizes('a7', 'label-100x50'),
  coolant: sizes('a6', 'label-100x50'),
  invoice: sizes('a4'),
}
