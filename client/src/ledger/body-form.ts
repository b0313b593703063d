/** The shape of the checks of bodies, as data: `forms.ts` runs them. */

/** What is expected follows from the form, but for a pattern, which says it. */
export type Form =
  | { pattern: string; expected: string }
  | { text: readonly [number, number] }
  | { from: number }
  | { choices: readonly string[] }
  | { list: Form; length: readonly [number, number] }
  | { object: ObjectForm }

/** Every member must be there whose name ends in no `?`; of `any_of`, at least one. */
export interface ObjectForm {
  members: Readonly<Record<string, Form>>
  any_of?: readonly string[]
}
