/** Over which line this browser sends, as far as it says (Network Information API, of WICG: no standard; Chromium on phones has it). */

/** The device's setting: 'yes' where photos wait while the line is a mobile one. Entries never wait. */
export const PHOTOS_WAIT = 'photos-wait-for-line'

/** Null where the browser does not say. */
export function lineKind(): string | null {
  const { connection } = (globalThis.navigator ?? {}) as { connection?: { type?: string } }
  return connection?.type ?? null
}
