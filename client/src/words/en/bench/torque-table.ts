/** What `screens/bench/torque-table.tsx` says. */

export const torques = 'Torques and wrenches'
export const newtonMetres = 'N·m, step {number}'
export const degrees = 'Degrees on from there, step {number}'
export const ofBlock = '{nm} N·m, filled in at its block'
export const ofBlockAndOn = '{nm} N·m and on by {deg} degrees, filled in at its block'
export const bolts = 'In this order: {bolts}.'
export const byWrench = 'In the range of: {wrenches}.'
export const noWrench = 'No wrench on the board has it in its range.'
