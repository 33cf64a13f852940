import { us, type Microseconds } from '../base/quantity.ts';
import type { ValueDefinition } from '../table/model.ts';

/**
 * Failsafe values after a lost link. The rule: when a connection ends, lost or with a goodbye, and no client remains
 * connected, every value with `on-link-loss: { value, within }` gets a deadline `within` later. At the deadline the board
 * sets the value. A client that connects again in the meantime does not stop that; its write to the value does, because
 * then somebody is in command again.
 */
export type Failsafes = ReadonlyMap<number, Microseconds>;

export const noFailsafes: Failsafes = new Map();

/** Deadlines after the last client has gone at `at`. One that is running already keeps its earlier deadline. */
export function armFailsafes(values: readonly ValueDefinition[], running: Failsafes, at: Microseconds): Failsafes {
  const armed = new Map(running);
  for (const { index, onLinkLoss } of values) {
    if (onLinkLoss.kind === 'set' && !armed.has(index)) armed.set(index, us(at + onLinkLoss.within));
  }
  return armed;
}

export function disarmFailsafe(running: Failsafes, index: number): Failsafes {
  if (!running.has(index)) return running;
  const rest = new Map(running);
  rest.delete(index);
  return rest;
}

/** Indices of the values whose deadline has come, in table order. */
export function dueFailsafes(running: Failsafes, at: Microseconds): readonly number[] {
  if (running.size === 0) return [];
  return [...running.keys()].filter((index) => (running.get(index) ?? Infinity) <= at).sort((a, b) => a - b);
}
