/** Chunk: what is only read. Nothing here writes: a job that is closed, and steps that are done or still to come. */
export { ClosedJobs } from './closed-jobs'
export { ReadStep } from './read-step'
export { Torques } from './torques'
