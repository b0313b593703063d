/** The links to customers' pages that this page has made: their secrets are kept nowhere else, and gone with it. */
import { signal } from '@preact/signals'

export interface MadeCode {
  link: string
  /** `at` of its end. */
  until: string
  /** Of the `page.shared` that says so. */
  entry: string
}

export const madeCodes = signal<ReadonlyMap<string, MadeCode>>(new Map())

export const noteCode = (job: string, code: MadeCode): void => {
  madeCodes.value = new Map(madeCodes.value).set(job, code)
}
