/** Bytes in words, as the screens say them. */
import * as words from '../words/en/sync/sizes'
import { t } from '../words/message'

export function megabytes(bytes: number): string {
  if (bytes < 1_000_000) return t(words.kilobytes, { kb: Math.ceil(bytes / 1000) })
  const mb = bytes / 1_000_000
  return mb < 10 ? t(words.megabytes, { mb }) : t(words.wholeMegabytes, { mb: Math.round(mb) })
}
