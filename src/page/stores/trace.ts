import { toDouble } from '../../base/rational.ts';
import type { Bytes } from '../../base/bytes.ts';
import { decode } from '../../values/codec.ts';
import { scaleFactor, toPhysical } from '../../values/physical.ts';
import type { ValueType } from '../../values/type.ts';

/** Samples a trace holds at most: half a minute of 2,000 a second. */
const capacity = 65_536;

/**
 * The last samples of one number over time, in a ring that grows up to a bound: adding one makes no garbage. Times are
 * milliseconds of the board's clock, ascending; values are physical.
 */
export class Trace {
  #times: Float64Array;
  #values: Float64Array;
  #first = 0;
  #length = 0;
  readonly #capacity: number;

  /** @param most samples kept, at least 1 */
  constructor(most = capacity) {
    this.#capacity = most;
    const size = Math.min(most, 512);
    this.#times = new Float64Array(size);
    this.#values = new Float64Array(size);
  }

  get length(): number {
    return this.#length;
  }

  clear(): void {
    this.#first = 0;
    this.#length = 0;
  }

  add(time: number, value: number): void {
    if (this.#length === this.#times.length) {
      if (this.#length < this.#capacity) this.#grow();
      else {
        this.#first = (this.#first + 1) % this.#times.length;
        this.#length -= 1;
      }
    }
    const at = (this.#first + this.#length) % this.#times.length;
    this.#times[at] = time;
    this.#values[at] = value;
    this.#length += 1;
  }

  /** Oldest is 0; NaN beyond the ends. */
  timeAt(index: number): number {
    return this.#times[this.#at(index)] ?? Number.NaN;
  }

  valueAt(index: number): number {
    return this.#values[this.#at(index)] ?? Number.NaN;
  }

  /** Index of the first sample not before `time`; the length when there is none. */
  firstSince(time: number): number {
    let low = 0;
    let high = this.#length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.timeAt(middle) < time) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #at(index: number): number {
    return index < 0 || index >= this.#length ? -1 : (this.#first + index) % this.#times.length;
  }

  #grow(): void {
    const size = Math.min(this.#capacity, 2 * this.#times.length);
    const times = new Float64Array(size);
    const values = new Float64Array(size);
    for (let i = 0; i < this.#length; i++) {
      times[i] = this.timeAt(i);
      values[i] = this.valueAt(i);
    }
    this.#times = times;
    this.#values = values;
    this.#first = 0;
  }
}

/** How a value of this type becomes a number to plot, at thousands a second; `undefined` where it is no number. */
export function numberReader(type: ValueType): ((raw: Bytes) => number) | undefined {
  if (type.kind === 'integer') {
    const factor = toDouble(scaleFactor(type.scale));
    return (raw) => {
      const decoded = decode(type, raw);
      if (!decoded.ok || decoded.value.kind !== 'integer') return Number.NaN;
      const { value } = decoded.value;
      return type.special.some(({ code }) => code === value) ? Number.NaN : Number(value) * factor;
    };
  }
  if (type.kind === 'float') {
    return (raw) => {
      const decoded = decode(type, raw);
      if (!decoded.ok) return Number.NaN;
      const physical = toPhysical(type, decoded.value);
      return physical.kind === 'number' ? toDouble(physical.value) : Number.NaN;
    };
  }
  return undefined;
}
