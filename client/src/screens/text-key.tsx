/** A key that is words alone: what is seldom done, beside what is. */
interface TextKeyProps {
  says: string
  onPress: () => void
  disabled?: boolean
}

export const TextKey = ({ says, onPress, disabled = false }: TextKeyProps) => (
  <button type="button" class="text-key" disabled={disabled} onClick={onPress}>
    {says}
  </button>
)
