/** What `screens/bay/proofs/turn-scale.ts` says. */

export const scaleChecked = 'Checked on {on}: it is {percent, number, ::.0} % off, and that is taken out.'
