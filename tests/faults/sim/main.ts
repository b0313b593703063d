/** The simulation's process: asks for a seed, runs it, tells what came of it, until there is none. */
import './globals'
import './base'
import { simulate, type Asked } from './run'
import { call } from './server'

for (let asked = call<Asked | null>({ op: 'next' }); asked; asked = call<Asked | null>({ op: 'next' })) {
  call({ op: 'told', told: await simulate(asked) })
}
