import type { VNode } from 'preact';
import { sameData } from './same-data.ts';

const kept = new Map<string, { readonly props: unknown; readonly drawing: VNode }>();

/**
 * The drawing of before when its data say the same, else a new one. A drawing that is the same is not gone through
 * again: a key typed costs what it changes, not the whole sheet.
 *
 * @param name of the place on the sheet
 */
export function keptDrawing<P>(name: string, props: P, draw: (props: P) => VNode): VNode {
  const before = kept.get(name);
  if (before !== undefined && sameData(before.props, props)) return before.drawing;
  const drawing = draw(props);
  kept.set(name, { props, drawing });
  return drawing;
}
