/** What `work/tool-checks.ts` says. */

export const off = 'it delivers {off} % {isLess, select, true {less} other {more}} than it is set to'
export const noTorque = 'what it delivers is no torque'
export const points = '{points} {unit}'
export const point = '{nominal} {shows, select, true {was shown as} other {came out as}} {found}'
export const showed = 'it shows {off} {unit} {isLess, select, true {too little} other {too much}}'
