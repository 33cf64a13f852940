import { equalBytes, type Bytes } from '../base/bytes.ts';
import type { Cause } from '../board/model.ts';
import type { BoardClock, Stamp } from './board-clock.ts';

/** One state of the truth, from its change to the next one. */
export type Version = {
  /** Counts on, also over a reset of the board. */
  readonly n: number;
  readonly stamp: Stamp;
  readonly value: Bytes;
  readonly cause: Cause;
  /** Whether a notification or indication has carried it. */
  carried: boolean;
};

/** Time that a version is remembered, microseconds: what crosses later is of a board that has long forgotten it. */
const horizon = 10_000_000;
/** After something was not told, a value of then may cross for so long, microseconds. */
const afterwards = 2_000_000;
/** Versions that are remembered, however fast they come. */
const mostVersions = 32_768;

/** What one value of the board was lately, by the console. */
export class TruthHistory {
  /** The present truth is not known. */
  #unsure = true;
  /** When something was last not told. */
  #missedAt = -Infinity;
  readonly #clock: BoardClock;
  #versions: Version[] = [];
  #start = 0;
  #next = 0;

  constructor(clock: BoardClock) {
    this.#clock = clock;
  }

  /** Number of the oldest version that is remembered. */
  get first(): number {
    return this.#next - this.length;
  }

  /** Number of the newest; one less than `first` when none is known. */
  get last(): number {
    return this.#next - 1;
  }

  get length(): number {
    return this.#versions.length - this.#start;
  }

  get newest(): Version | undefined {
    return this.get(this.last);
  }

  get(n: number): Version | undefined {
    return n < this.first ? undefined : this.#versions[this.#start + n - this.first];
  }

  add(stamp: Stamp, value: Bytes, cause: Cause): Version {
    const version: Version = { n: this.#next++, stamp, value, cause, carried: false };
    this.#versions.push(version);
    this.#unsure = false;
    this.#forget();
    return version;
  }

  /** The board was reset: what was before says nothing of what comes. */
  clear(): void {
    this.#versions = [];
    this.#start = 0;
    this.#unsure = true;
  }

  /** Something was not told at `at`, microseconds of the host: what is known is not all. */
  miss(at: number): void {
    this.#unsure = true;
    this.#missedAt = at;
  }

  /** The board was asked, and holds what is the newest here. */
  confirm(): void {
    this.#unsure = false;
  }

  /** Whether a value that crossed at `at` and is not known here may yet have been the truth. */
  isUnsure(at: number): boolean {
    return this.#unsure || at < this.#missedAt + afterwards;
  }

  timeOf(version: Version): number {
    return this.#clock.hostTime(version.stamp);
  }

  /** When version `n` became the truth; before all times for one that is not remembered, after them for one to come. */
  begin(n: number): number {
    const version = this.get(n);
    if (version !== undefined) return this.timeOf(version);
    return n < this.first ? -Infinity : Infinity;
  }

  /** Number of the version that was the truth at `time`; one less than `first` before the oldest. */
  at(time: number): number {
    let low = this.first;
    let high = this.#next;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.begin(middle) <= time) low = middle + 1;
      else high = middle;
    }
    return low - 1;
  }

  /** The newest version that `matches` and was the truth at some time from `from` to `to`. */
  newestMatch(matches: (value: Bytes) => boolean, from: number, to: number): Version | undefined {
    for (let n = this.at(to); n >= this.first; n--) {
      const version = this.get(n);
      if (version !== undefined && matches(version.value)) return version;
      if (this.begin(n) < from) return undefined;
    }
    return undefined;
  }

  /** The oldest version from `n` on that `matches` and was the truth at some time from `from` to `to`. */
  oldestMatch(matches: (value: Bytes) => boolean, n: number, from: number, to: number): Version | undefined {
    for (let next = Math.max(n, this.first, this.at(from)); next <= this.last && this.begin(next) <= to; next++) {
      const version = this.get(next);
      if (version !== undefined && matches(version.value)) return version;
    }
    return undefined;
  }

  /** The last of the versions that were made in the millisecond of version `n`: only that one can be seen from outside. */
  lastOfTick(n: number): number {
    const stamp = this.get(n)?.stamp;
    let last = n;
    while (stamp !== undefined && this.get(last + 1)?.stamp === stamp) last += 1;
    return last;
  }

  #forget(): void {
    const newest = this.#versions.at(-1);
    if (newest === undefined) return;
    const old = newest.stamp - horizon / 1000;
    // The one that still held at the horizon stays, and one before it to compare with.
    while (this.length > 3 && ((this.#versions[this.#start + 2]?.stamp ?? 0) < old || this.length > mostVersions)) {
      this.#start += 1;
    }
    if (this.#start > 512 && 2 * this.#start > this.#versions.length) {
      this.#versions = this.#versions.slice(this.#start);
      this.#start = 0;
    }
  }
}

/**
 * Whether `sent` is how `value` crosses: as it is, or its beginning where one packet holds no more (Core Vol 3 Part F
 * 3.4.7.1).
 *
 * @param room octets that a packet holds; `undefined` where nobody knows, then at least the default of 20
 */
export function isAsSent(value: Bytes, sent: Bytes, room: number | undefined): boolean {
  if (value.length === sent.length) return equalBytes(value, sent);
  if (sent.length > value.length || sent.length < 20) return false;
  if (room !== undefined && sent.length !== room) return false;
  return equalBytes(value.subarray(0, sent.length), sent);
}
