/** A text that wants to stand under the drawing: the left end it wants, and how wide it is. Ascending by `x`. */
export type Wanted = { readonly x: number; readonly width: number };

/** Where it stands: lane 0 is the topmost. A lower lane is reached by a line straight down from `Wanted.x`. */
export type Placed = { readonly lane: number; readonly x: number };

/**
 * Puts labels into as few lanes as their order allows, so that no two overlap and no line down to one crosses another:
 * from the right, each goes into the first lane whose labels, and the lines through it, begin behind its own end.
 *
 * @param room the width to stay within; a label that would stand over it is moved to the left
 * @param gap least distance between two
 */
export function laneLabels(wanted: readonly Wanted[], room: number, gap: number): readonly Placed[] {
  const placed: Placed[] = wanted.map(({ x, width }) => ({ lane: 0, x: Math.max(0, Math.min(x, room - width)) }));
  for (let i = wanted.length - 1; i >= 0; i--) {
    const own = placed[i];
    const size = wanted[i];
    if (own === undefined || size === undefined) continue;
    let lane = 0;
    for (let j = i + 1; j < placed.length; j++) {
      const other = placed[j];
      if (other !== undefined && own.x + size.width + gap > other.x) lane = Math.max(lane, other.lane + 1);
    }
    placed[i] = { ...own, lane };
  }
  return placed;
}
