import { equalBytes } from '../../base/bytes.ts';
import type { ValueDefinition } from '../../table/model.ts';
import type { AirValue, TruthChange } from '../worker/protocol.ts';
import type { Samples } from './chart-window.ts';

/** What the two sides say of each other. */
export type Agreement =
  /** One side is not known. */
  | 'unknown'
  | 'same'
  /** The board has changed, and is about to say so. */
  | 'on-its-way'
  /** The board has changed since, and tells nobody. */
  | 'moved-on'
  /** What crossed last is not what the board held. */
  | 'differs';

/** A notification may be under way so long beside what its policy says, milliseconds. */
const underWay = 400;

/**
 * @param subscribed CCCD bits
 * @param now of the board's clock, milliseconds
 */
export function agreement(
  { notify }: Pick<ValueDefinition, 'notify'>,
  truth: TruthChange | undefined,
  air: AirValue | undefined,
  subscribed: number,
  now: number,
): Agreement {
  if (truth === undefined || air === undefined) return 'unknown';
  if (equalBytes(truth.raw, air.raw)) return 'same';
  if (truth.ms < air.ms - underWay && air.how !== 'notified' && air.how !== 'indicated') return 'differs';
  if (subscribed === 0 || notify === undefined) return truth.ms >= air.ms - underWay ? 'moved-on' : 'differs';
  const period = notify.on.kind === 'every' ? notify.on.period : 0;
  const most = Math.max(period, notify.minSpacing ?? 0) / 1000 + underWay;
  // A value that keeps changing is on its way as long as something newer than the bound has crossed.
  return now - air.ms <= most || now - truth.ms <= most ? 'on-its-way' : 'differs';
}

const agreementWords: Readonly<Record<Agreement, string>> = {
  unknown: '',
  same: '',
  'on-its-way': 'a newer one is on its way',
  'moved-on': 'the board has moved on since',
  differs: 'air and board differ',
};

/** How long ago, calm enough to be read: `now`, `12 s ago`, `3 min ago`. Milliseconds. */
export function ageWords(age: number): string {
  if (age < 1000) return 'now';
  if (age < 60_000) return `${Math.floor(age / 1000)} s ago`;
  if (age < 3_600_000) return `${Math.floor(age / 60_000)} min ago`;
  return `${Math.floor(age / 3_600_000)} h ago`;
}

/** A value that was the same for longer did not cross because it had changed, milliseconds. */
const mostDelay = 2000;

/**
 * Milliseconds between the board's change and its arrival; `undefined` where the two are not the same event: another value,
 * or one that had been the same for long.
 */
export function delayOf(truth: TruthChange | undefined, air: AirValue | undefined): number | undefined {
  if (truth === undefined || air === undefined || !equalBytes(truth.raw, air.raw)) return undefined;
  if (air.how !== 'notified' && air.how !== 'indicated') return undefined;
  const delay = air.ms - truth.ms;
  return delay >= 0 && delay < mostDelay ? delay : undefined;
}

/** Samples that are looked back on: what 2,000 a second bring in some milliseconds. */
const mostBack = 200;

/**
 * The delay of the number that crossed last, from the traces of both sides: the board may have gone on since. Milliseconds;
 * `undefined` where the board did not hold that number shortly before.
 */
export function tracedDelay(truth: Samples, air: Samples): number | undefined {
  const ms = air.timeAt(air.length - 1);
  const value = air.valueAt(air.length - 1);
  const last = truth.firstSince(ms + 1) - 1;
  for (let i = last; i >= 0 && i > last - mostBack; i--) {
    const delay = ms - truth.timeAt(i);
    if (delay >= mostDelay) return undefined;
    if (truth.valueAt(i) === value) return firstArrival(air, truth.timeAt(i), value) - truth.timeAt(i);
  }
  return undefined;
}

/** When a number that the board held since `since` crossed first; later crossings of it tell nothing new. */
function firstArrival(air: Samples, since: number, value: number): number {
  let i = air.firstSince(since);
  while (i < air.length - 1 && air.valueAt(i) !== value) i += 1;
  return air.timeAt(i);
}

const howWords: Readonly<Record<AirValue['how'], string>> = {
  read: 'read',
  written: 'written',
  notified: 'notified',
  indicated: 'indicated',
};

/** `read 12 s ago`. */
export function airWords(air: AirValue, now: number): string {
  return `${howWords[air.how]} ${ageWords(Math.max(0, now - air.ms))}`;
}

/** What lies between the two sides: the delay, and that they differ. */
export function betweenWords(agreed: Agreement, delay: number | undefined): string {
  const apart = agreed === 'differs' || agreed === 'moved-on';
  const behind = delay === undefined || apart ? '' : `${delay} ms behind`;
  return [behind, agreementWords[agreed]].filter((words) => words !== '').join('; ');
}

/** Who changed the board's value, where it was not the world or the start. */
export function causeWords(cause: TruthChange['cause']): string {
  switch (cause) {
    case 'failsafe':
      return 'by failsafe';
    case 'console':
      return 'by console';
    case 'air':
      return 'by air';
    case 'start':
      return 'since start';
    case 'rig':
      return 'by the rig';
  }
}
