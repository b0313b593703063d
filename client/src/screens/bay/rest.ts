/** Chunk: what the straight work at a job takes besides a step's own screen. */
export { GiveProof } from './give-proof'
export { GiveAdaptor, GiveTool } from './give-torque'
export { StepTools } from './step-tools-screen'
