/** What a call writes: each function one act of the store. */
import type { Body, Ref } from '../ledger/bodies'
import type { Store, Writing } from '../store'
import type { EnquiryDraft, clearOf } from './enquiry'
import { carriedOr, type CarriedCall } from './opening'
import { wordsIfAny } from './write'

const PRIVATE = ['customer', 'phone', 'plate', 'vin', 'words'] as const

/** Whatever nobody said is left out; the rest about a person goes into private values, or is in those of the call before. */
async function privateOf(writing: Writing, draft: EnquiryDraft, before: CarriedCall | null) {
  const refs: Partial<Record<(typeof PRIVATE)[number], Ref>> = {}
  for (const field of PRIVATE) {
    const said = carriedOr(before, field, draft[field].normalize('NFC').trim())
    if (typeof said !== 'string') refs[field] = said
    else if (said !== '') refs[field] = await writing.secret(field, said)
  }
  return refs
}

/**
 * @param warned the words in which the customer was warned; null: nothing is due
 * @param before the call that this one takes the place of
 */
export const takeCall = (
  store: Pick<Store, 'write'>,
  job: string,
  draft: EnquiryDraft,
  clear: ReturnType<typeof clearOf>,
  warned: string | null,
  before: CarriedCall | null = null,
) =>
  store.write(job, async (writing) => {
    const said: Body<'enquiry.taken'> = { ...clear, ...(await privateOf(writing, draft, before)) }
    await writing.entry('enquiry.taken', {
      ...said,
      ...(warned === null ? {} : { warning: await writing.secret('words', warned) }),
    })
  })

/** @param how they said no by a `call`, a `message`, or `here` */
export const declineCall = (
  store: Pick<Store, 'write'>,
  job: string,
  enquiry: string,
  how: 'call' | 'message' | 'here',
  words: string,
) =>
  store.write(job, async (writing) => {
    await writing.entry('enquiry.declined', {
      enquiry,
      how,
      ...(await wordsIfAny(writing, words)),
    })
  })
