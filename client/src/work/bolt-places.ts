/** Where bolts stand, as their names say it: what is held by four bolts is shown from above, its front at the top. */

const ROWS = ['front', 'middle', 'rear']
const COLUMNS = ['left', 'centre', 'right']

export interface BoltPlace {
  /** From the front, 1 to 3. */
  row: number
  /** From the left, 1 to 3. */
  column: number
}

/** @returns a place for each bolt, or null where a name says none, or two say the same. */
export function boltPlaces(bolts: readonly string[]): BoltPlace[] | null {
  const places = bolts.map(placeOf)
  if (places.length < 2 || places.some((place) => place === null)) return null
  const apart = new Set(places.map((place) => JSON.stringify(place)))
  return apart.size === bolts.length ? (places as BoltPlace[]) : null
}

/** A bolt that says only one of both ways stands in the middle of the other. */
function placeOf(bolt: string): BoltPlace | null {
  const words = bolt.split(' ')
  const rows = ROWS.flatMap((word, at) => (words.includes(word) ? [at + 1] : []))
  const columns = COLUMNS.flatMap((word, at) => (words.includes(word) ? [at + 1] : []))
  const [row, column = 2] = [rows[0], columns[0]]
  const isAllTaken = rows.length === 1 && columns.length <= 1 && words.length === rows.length + columns.length
  return isAllTaken ? { row: row!, column } : null
}
