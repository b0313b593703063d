/** Facts by name, in two columns. */
export function Facts({ facts }: { facts: readonly (readonly [string, string])[] }) {
  return (
    <dl class="facts">
      {facts.map(([name, value]) => (
        <>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </>
      ))}
    </dl>
  )
}
