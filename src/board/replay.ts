import type { Microseconds } from '../base/quantity.ts';
import type { BoardEffect, BoardReducer, BoardState } from './model.ts';
import type { LoggedEvent } from './virtual-board.ts';

export type Replayed = { readonly state: BoardState; readonly effects: readonly TimedEffect[] };
export type TimedEffect = { readonly at: Microseconds; readonly effect: BoardEffect };

/**
 * Runs a board through a log of events: the same table, rig, seed and log give the same state and effects.
 *
 * @param startedAt when the board was powered up
 */
export function replay(reducer: BoardReducer, startedAt: Microseconds, log: readonly LoggedEvent[]): Replayed {
  const effects: TimedEffect[] = [];
  const first = reducer.start(startedAt);
  let { state } = first;
  for (const effect of first.effects) effects.push({ at: startedAt, effect });
  for (const { at, event } of log) {
    const step = reducer.step(state, event, at);
    ({ state } = step);
    for (const effect of step.effects) effects.push({ at, effect });
  }
  return { state, effects };
}
