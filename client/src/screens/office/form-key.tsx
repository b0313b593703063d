/** A key, and in its place what it opens, until that is left. */
import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'

interface FormKeyProps {
  label: ComponentChildren
  /** As it is read out, where the label alone does not say of what. */
  name?: string
  /** The page's foremost key, or one among the words of a row; else one under a list. */
  stands?: 'foremost' | 'in-row' | 'under-list'
  children: (leave: () => void) => ComponentChildren
}

export function FormKey({ label, name, stands = 'under-list', children }: FormKeyProps) {
  const [isOpen, setOpen] = useState(false)
  if (isOpen) return <>{children(() => setOpen(false))}</>
  return (
    <button
      type="button"
      class={`text-key ${stands === 'foremost' ? 'text-key-main' : ''} ${stands === 'in-row' ? '' : 'under-list'}`}
      aria-label={name}
      onClick={() => setOpen(true)}
    >
      {label}
    </button>
  )
}
