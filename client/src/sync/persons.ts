/**
 * Whom a device speaks for: the person of its invitation, and those an owner admitted on it; never
 * for a person of a higher role than its own. Twin of persons.py; tests/vectors/persons.json holds both.
 */
import type { Role } from '../ledger/bodies'

const RANK: Record<Role, number> = { auditor: 0, mechanic: 1, owner: 2 }

/** What counting statements said of persons, each from its place in the ledger on. */
export class Persons {
  readonly #invited = new Map<string, { index: number; rank: number }[]>()
  readonly #served = new Map<string, { index: number; persons: readonly string[] }[]>()

  /** Take in a `device.invited`. */
  invite(index: number, person: string, role: Role): void {
    this.#invited.set(person, [...(this.#invited.get(person) ?? []), { index, rank: RANK[role] }])
  }

  /** Take in a `device.serves`. */
  serve(index: number, device: string, persons: readonly string[]): void {
    this.#served.set(device, [...(this.#served.get(device) ?? []), { index, persons }])
  }

  /** Who is admitted on a device of a role, besides its own person, at a place in the ledger. */
  admitted(device: string, role: Role, index: number): string[] {
    const served =
      (this.#served.get(device) ?? []).filter((said) => said.index <= index).at(-1)?.persons ?? []
    return served.filter((person) => this.#rank(person, index) <= RANK[role])
  }

  /** The highest rank that a person was invited in; who never was has the least. */
  #rank(person: string, index: number): number {
    return Math.max(
      0,
      ...(this.#invited.get(person) ?? []).filter((said) => said.index <= index).map(({ rank }) => rank),
    )
  }
}
