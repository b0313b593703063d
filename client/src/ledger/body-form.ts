/** The shape of the checks of bodies, as data: `forms.ts` runs them. */

type Leaf = { expected: string }
export type Form =
  | (Leaf & { pattern: string })
  | (Leaf & { text: readonly [number, number] })
  | (Leaf & { from: number })
  | (Leaf & { choices: readonly string[] })
  | (Leaf & { list: Form; length: readonly [number, number] })
  | { object: ObjectForm }

/** Every member not in `optional` must be there; of `any_of`, at least one. */
export interface ObjectForm {
  members: Readonly<Record<string, Form>>
  optional: readonly string[]
  any_of?: readonly string[]
}
