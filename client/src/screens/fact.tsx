/** A line of a list of facts: what it is, and how it stands. */
import type { ComponentChildren } from 'preact'

export function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </>
  )
}
