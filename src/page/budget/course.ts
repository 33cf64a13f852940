/** Steps of a slider from end to end. */
export const positions = 400;

/** How a slider goes through its values. */
export type Course = {
  readonly from: number;
  readonly to: number;
  readonly kind: 'linear' | 'log';
  /** To a value that may be. */
  round(value: number): number;
};

function shareOf({ from, to, kind }: Course, value: number): number {
  const share =
    kind === 'log' ? Math.log(Math.max(value, from) / from) / Math.log(to / from) : (value - from) / (to - from);
  return Math.min(1, Math.max(0, share));
}

/**
 * The value at a slider’s place. Steps may be coarser than places: a slider that a key moves by one place goes on to the
 * next value, so that it never stands still.
 */
export function movedTo(course: Course, value: number, position: number): number {
  const before = placeOf(course, value);
  const direction = Math.sign(position - before);
  for (let at = position; direction !== 0 && at >= 0 && at <= positions; at += direction) {
    const there = course.round(valueAt(course, at / positions));
    if (there !== value && Math.sign(there - value) === direction) return there;
  }
  return value;
}

/** The slider’s place for a value, held within its ends. */
export function placeOf(course: Course, value: number): number {
  return Math.round(positions * shareOf(course, value));
}

function valueAt({ from, to, kind }: Course, share: number): number {
  return kind === 'log' ? from * (to / from) ** share : from + share * (to - from);
}

/** In steps, and in three digits: what a hand can set. */
export function inSteps(step: number): (value: number) => number {
  return (value) => Math.max(step, Math.round(value / step) * step);
}

export function inDigits(digits: number): (value: number) => number {
  return (value) => Number(value.toPrecision(digits));
}

export const whole = (value: number): number => Math.round(value);
