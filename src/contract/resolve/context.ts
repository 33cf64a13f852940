import type { Report, Suggest } from '../shapes/shape.ts';

/** What holds for all of a contract while its meaning is worked out. */
export type Context = {
  /** ATT error for values out of range, where a characteristic does not say its own. */
  readonly refuseWith: number;
  readonly report: Report;
  readonly suggest: Suggest;
};
