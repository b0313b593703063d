/** What `screens/photos/sheet.tsx` says. */

export const open = 'Look at {label}, {step}, {job}'
export const stepAndLabel = '{step}: {label}'
export const take = 'Take it along'
export const ofWhich = ': {label}, {step}, {job}'
export const takeAll = '{n, plural, one {Take it along} other {Take all # along}}'
export const compare = 'Compare the two that are marked'
export const takeNone = 'Take none along'
export const print = 'Print the sheet'
export const fetching = 'Fetching {count} of {all}'
