/** What `work/wrenches.ts` says. */

export const to = '{low} to {high} {unit}'
export const checked = 'checked {on}'
export const neverChecked = 'never checked'
export const notKnown = 'not known'
export const unknownTool = 'No tool of this workshop has the tag {tag}.'
export const unknownToolHint =
  'Read the tag again. A tool that the workshop does not know measures nothing here: take another.'
export const otherTool = '{tool} is something else: {label}.'
export const otherToolHint = 'Read the tag of the tool that is asked for.'
export const goodTo = '{label}, good to {day}'
