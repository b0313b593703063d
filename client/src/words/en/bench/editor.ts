/** What `screens/bench/editor.tsx` says. */

export const source = 'Source of the procedure'
