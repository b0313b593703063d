/** To a step on the same page: it is opened, brought into sight, and takes the focus. */
export function jumpToStep(step: string): void {
  const block = document.getElementById(`step-${step}`)
  const details = block?.querySelector('details')
  if (details) details.open = true
  block?.scrollIntoView()
  block?.querySelector('summary')?.focus({ preventScroll: true })
}
