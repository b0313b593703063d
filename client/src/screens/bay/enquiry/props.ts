/** What the screens of a call share. */
import type { EnquiryDraft } from '../../../work/enquiry'
import type { useCall } from '../../use-call'

/** What was typed of it so far, and what that comes to. */
export interface StageProps extends ReturnType<typeof useCall> {
  draft: EnquiryDraft
  set: (part: Partial<EnquiryDraft>) => void
  /** Take an answer, and go on at once. */
  choose: (part: Partial<EnquiryDraft>) => void
  on: () => void
  back: () => void
}
