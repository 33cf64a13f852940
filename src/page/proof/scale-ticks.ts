/**
 * Round numbers to print under a scale from 0 to `total`: steps of 1, 2 or 5 times a power of ten, at most `most` of them.
 * One so near the end that it would run into the total printed there is left out.
 */
export function scaleTicks(total: number, most: number): readonly number[] {
  const step = stepOf(total / most);
  const ticks = [0];
  for (let at = step; at <= total - step / 2; at += step) ticks.push(at);
  return ticks;
}

/** The smallest round step that is not below `least`. */
function stepOf(least: number): number {
  for (let power = 1; ; power *= 10) {
    const step = [1, 2, 5].map((part) => part * power).find((candidate) => candidate >= least);
    if (step !== undefined) return step;
  }
}
