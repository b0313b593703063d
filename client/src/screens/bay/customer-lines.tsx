/** Who the customer is, and by which number: two lines, each may stay empty. */
import { TypedLine } from './typed-line'
import * as words from '../../words/en/bay/customer-lines'
import { t } from '../../words/message'

const LONGEST_NAME = 120
const LONGEST_NUMBER = 32

interface Customer {
  customer: string
  phone: string
}

export function CustomerLines({ of, set }: { of: Customer; set: (part: Partial<Customer>) => void }) {
  const line = (name: keyof Customer) => ({
    id: `customer-${name}`,
    value: of[name],
    onValue: (value: string) => set({ [name]: value }),
  })
  return (
    <>
      <TypedLine label={t(words.telephone)} mode="tel" longest={LONGEST_NUMBER} {...line('phone')} />
      <TypedLine label={t(words.customer)} mode="text" longest={LONGEST_NAME} {...line('customer')} />
      <p class="soft">{t(words.privateValues)}</p>
    </>
  )
}
