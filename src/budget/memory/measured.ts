import type { MeasuredTarget } from './model.ts';

/** Every target that has been measured. Empty until firmware of this project has been built and its sizes read. */
export const measuredTargets: readonly MeasuredTarget[] = [];
