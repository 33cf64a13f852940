/** The next time of each of a fixed number of parties, earliest first: an indexed binary heap on typed arrays. */
export class TimeQueue {
  /** By party. */
  readonly #times: Float64Array;
  /** Parties in heap order. */
  readonly #heap: Int32Array;
  #size: number;

  /** @param times the first time of each party; Infinity for none */
  constructor(times: Float64Array) {
    this.#times = times.slice();
    this.#heap = Int32Array.from(times, (_, i) => i);
    this.#size = times.length;
    for (let i = (this.#size >> 1) - 1; i >= 0; i--) this.#down(i);
  }

  /** The party whose time is next; -1 of none. */
  get party(): number {
    return this.#size === 0 ? -1 : (this.#heap[0] ?? -1);
  }

  get time(): number {
    return this.#times[this.party] ?? Infinity;
  }

  /** Gives the party in front a later time. */
  later(time: number): void {
    this.#times[this.party] = time;
    this.#down(0);
  }

  #down(start: number): void {
    const heap = this.#heap;
    const times = this.#times;
    const moving = heap[start] ?? 0;
    const key = times[moving] ?? Infinity;
    let i = start;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= this.#size) break;
      let time = times[heap[child] ?? 0] ?? Infinity;
      if (child + 1 < this.#size) {
        const right = times[heap[child + 1] ?? 0] ?? Infinity;
        if (right < time) {
          child += 1;
          time = right;
        }
      }
      if (time >= key) break;
      heap[i] = heap[child] ?? 0;
      i = child;
    }
    heap[i] = moving;
  }
}
