/** Drives: what the register words of a chip are for a value, how exact that is, and how firmware works it out. */
export { drivable, driveOutput, driveResolution, driveSpan, driveValue, driveWords } from './drive.ts';
export { driveProblem } from './drive-problem.ts';
export { explainDrive } from './explain.ts';
export { integerPlan } from './integer-plan.ts';
export { actsOnWorld } from './model.ts';
export type { Drive, DriveKind } from './model.ts';
export type { DriveLimit, DriveOutcome, DriveWord, WordShape } from './outcome.ts';
export type { IntegerPlan, PlanInput, PlanNumber, PlanOperation, PlanSegment, PlanStep, PlanWord } from './plan.ts';
export { runPlan } from './run-plan.ts';
export { timerQuantity } from './unit.ts';
