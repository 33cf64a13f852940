import { equalBytes, type Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { ValueEvent } from '../att/link.ts';
import type { ValueDefinition } from '../table/model.ts';
import type { Trial } from './trial.ts';
import type { Told } from './truth.ts';
import { count, timeWords, valueWords } from './words.ts';

/** A stretch of time in which a client was subscribed: what the board's console told, and what came. */
export type Stretch = {
  /** Every change of truth since the client subscribed. */
  readonly changes: readonly Told[];
  /** Every value that came since. */
  readonly events: readonly ValueEvent[];
  /** Octets that one notification carries. */
  readonly room: number;
  /** How long a change may wait until it comes. */
  readonly patience: Microseconds;
};

/**
 * What `notify: { on: change }` asks of a stretch: the values that came are changes in their order, none came twice,
 * none was old when it came, and no change waits longer than it may.
 */
export function mustTellChanges(trial: Trial, value: ValueDefinition, stretch: Stretch): void {
  const { changes, events, room } = stretch;
  let next = 0;
  for (const event of events) {
    const words = valueWords(value.type, event.value);
    const fits = event.value.length <= room;
    trial.claim(fits, `at most ${count(room, 'octet')} at once`, count(event.value.length, 'octet'));
    const isThis = (told: Told): boolean => isSent(told.value, event.value, room);
    const at = changes.findIndex((told, i) => i >= next && isThis(told));
    const why = changes.slice(0, next).some(isThis)
      ? 'again, with no change in between'
      : 'which the board did not hold';
    trial.claim(at >= 0, 'each value that comes tells one change, in their order', `${words}, ${why}`);
    if (at < 0) return;
    next = at + 1;
    mustBeFresh(trial, value, event, stretch);
  }
  mustMissNothing(trial, value, stretch);
}

/** A value longer than one packet is sent as its beginning, Core Vol 3 Part F 3.4.7.1. */
export function isSent(truth: Bytes, sent: Bytes, room: number): boolean {
  return equalBytes(truth.subarray(0, room), sent);
}

/** The latest value wins: what comes was the truth when it was sent. */
function mustBeFresh(trial: Trial, value: ValueDefinition, event: ValueEvent, { changes, room }: Stretch): void {
  const { interval, latency } = trial.table.radio.connection;
  const transit = 2 * interval.max * (latency + 1);
  const index = lastIndex(changes, (told) => told.at <= event.at && isSent(told.value, event.value, room));
  const replaced = changes[index + 1];
  const old = replaced === undefined ? 0 : event.at - replaced.at;
  const seen = `${valueWords(value.type, event.value)}, ${timeWords(old)} after it had changed`;
  trial.claim(old <= transit, 'what comes is the latest value', seen);
}

/** The last change that came is the last there was, unless the next may still be on its way. */
function mustMissNothing(trial: Trial, value: ValueDefinition, { changes, events, room, patience }: Stretch): void {
  const last = events[events.length - 1];
  const told =
    last === undefined
      ? -1
      : lastIndex(changes, ({ at, value: octets }) => at <= last.at && isSent(octets, last.value, room));
  const missing = changes[told + 1];
  if (missing === undefined) {
    trial.claim(true, 'the last value that comes is the truth');
    return;
  }
  const since = Math.max(missing.at, last?.at ?? 0);
  const waits = trial.now - since;
  const seen = `${valueWords(value.type, missing.value)} has not come after ${timeWords(waits)}`;
  trial.claim(waits < patience, `a change comes within ${timeWords(patience)}`, seen);
}

function lastIndex(changes: readonly Told[], matches: (told: Told) => boolean): number {
  for (let i = changes.length - 1; i >= 0; i--) {
    const told = changes[i];
    if (told !== undefined && matches(told)) return i;
  }
  return -1;
}

/** Claims that no two values came closer together than the contract's `at-most` allows. */
export function mustKeepSpacing(trial: Trial, value: ValueDefinition, events: readonly ValueEvent[]): void {
  const least = value.notify?.minSpacing;
  if (least === undefined) return;
  // One pair may be pushed together by the connection events that carry it; the whole row may not.
  const slack = Math.min(trial.table.radio.connection.interval.max, least / 2);
  const gaps = events.slice(1).map((event, i) => event.at - (events[i]?.at ?? 0));
  const shortest = Math.min(Infinity, ...gaps);
  const right = shortest >= least - slack;
  const seen = `${timeWords(shortest)} between two`;
  trial.claim(right, `at least ${timeWords(least)} between two values`, seen);
  const stretch = gaps.reduce((sum, gap) => sum + gap, 0);
  const most = Math.floor((stretch + slack) / least) + 1;
  const inAll = `${count(events.length, 'value')} in ${timeWords(stretch)}`;
  trial.claim(events.length <= most, `at most ${count(most, 'value')} in ${timeWords(stretch)}`, inAll);
}
