/**
 * A bundle: what a procedure is to those who work by it. Its form is formats.md, section 6; the workshop compiled,
 * proved and signed for it, so it is read here without a second check, but for whether this app knows all it may
 * say. Names are those of the JSON.
 */
import { bundleFields, FORM, type Bundle, type Fields } from './shape'

export type { Bundle, Drive as DriveBlock, DriveWheel, Proof, Step, Way } from './shape'

/** The bundle; null where only a newer app knows its form: it is kept, and nobody works by it here. */
export function readBundle(text: string): Bundle | null {
  const said = JSON.parse(text) as Bundle
  return said.v === FORM && isWithin(bundleFields, said) ? said : null
}

function isWithin(fields: Fields, said: unknown): boolean {
  if (Array.isArray(said)) return said.every((one) => isWithin(fields, one))
  return Object.entries(said as object).every(([name, value]) => {
    const inner = Object.hasOwn(fields, name) ? fields[name] : undefined
    return inner !== undefined && (inner === true || isWithin(inner, value))
  })
}
