/** What `work/wrenches.ts` says. */

export const to = '{low} to {high} {unit}'
export const checked = 'checked {on}'
export const neverChecked = 'never checked'
export const notKnown = 'not known'
export const retired = 'it was taken out of use: {because}'
export const retiredHint = 'Hang it aside, so that nobody takes it again, and read the tag of another tool.'
export const foundOut = 'It was found out on {on}: {off}.'
export const foundOutHint = 'Take another. This one is not trusted until a good check.'
export const unknownTool = 'No tool of this workshop has the tag {tag}.'
export const unknownToolHint =
  'Read the tag again. A tool that the workshop does not know measures nothing here: take another.'
export const otherTool = '{tool} is something else: {label}.'
export const otherToolHint = 'Read the tag of the tool that is asked for.'
export const goodTo = '{label}, good to {day}'
