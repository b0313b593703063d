/** What `screens/record/photo-sharpness.ts` says. */

export const notJudged =
  'Not judged: {isPicked, select, true {it was picked from the phone} other {the phone could not tell}}'
export const judged =
  '{says} (sharpness {sharp}, mean light {mean} of 255, {blown} % of it plain white, as the phone measured when it was taken)'
