/** Chunk: what is found beside the work, and when a job is promised, parked and gone on with. */
export { plannedIn } from '../../work/appointments'
export { AgreedFirst } from './found/agreed-first'
export { FoundRoom } from './found/index'
export { Park, Parked } from './found/park'
export { Plan } from './found/plan'
export { PlanLine } from './found/plan-line'
