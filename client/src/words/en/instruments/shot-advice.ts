/** What `instruments/shot-advice.ts` says. */

export const blown = 'Much of the photo is plain white.'
export const blownHint = 'Turn the lamp aside and take it again.'
export const dark = 'The photo is dark.'
export const darkHint = 'Light the place and take it again.'
export const blurred = 'The photo looks blurred.'
export const blurredHint =
  'Hold still and take it again. A plain, clean surface may look so, too: then keep it.'
export const soft = 'The photo may be a little blurred.'
export const softHint = 'Look at the mark in it. If it cannot be read, take it again.'
export const fine = 'The photo is sharp and bright enough.'
export const sharper = 'Sharper than the shot before.'
export const lessSharp = 'The shot before was sharper.'
export const asSharp = 'As sharp as the shot before.'
export const betterLit = 'Better lit than the shot before.'
export const worseLit = 'The shot before was better lit.'
