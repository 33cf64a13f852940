import { equalBytes, type Bytes } from '../base/bytes.ts';
import { marked, right, unjudged, type Flow, type FlowContext, type Missing, type Verdict } from './flow.ts';
import { isAsSent } from './truth-history.ts';

/** Periods without a value that are looked at one by one; a longer silence is a grid that began anew. */
const mostSilent = 1000;
/** How much of a lateness the grid follows: clocks drift apart, and one late value must not move it. */
const following = 1 / 64;

type EmptyPlace = Missing & { readonly place: number };

/**
 * A subscription to `notify: { on: every TIME }`: a value comes each period, changed or not. The flow lays the board's grid
 * over the arrivals: a place of the grid that stays empty is missing, a value without a place came twice, and each value
 * must have been the truth a moment ago.
 */
export class PeriodFlow implements Flow {
  readonly #context: FlowContext;
  readonly #from: number;
  /** When the values of the grid's places come that come soonest; `undefined` before the first. */
  #phase: number | undefined;
  /** The last place that is taken or given up. */
  #place = 0;
  #missing: EmptyPlace[] = [];
  #last: { readonly version: number; readonly value: Bytes } | undefined;
  #lateRun = 0;
  #ended = false;

  constructor(context: FlowContext, from: number) {
    this.#context = context;
    this.#from = from;
  }

  arrive(value: Bytes, at: number, room: number | undefined): Verdict {
    this.advance(at);
    const place = this.#phase === undefined ? 0 : Math.round((at - this.#phase) / this.#context.spacing);
    const isFirst = this.#phase === undefined;
    this.#phase ??= at;
    if (place > this.#place || isFirst) {
      this.#skipTo(place);
      const due = this.#due(place);
      const heldUp = this.#isOld(value, due, at, room) ? this.#emptyFor(value, room) : undefined;
      if (heldUp !== undefined) {
        this.#missing.push({ place, version: this.#context.history.at(due), due, overtaken: true });
        return this.#fill(heldUp, value, at, room);
      }
      this.#follow(at - due);
      return this.#judge(value, at, room, Math.min(due, at), false);
    }
    const empty = this.#emptyFor(value, room) ?? this.#missing[0];
    return empty === undefined ? this.#extra(value, at, room) : this.#fill(empty, value, at, room);
  }

  advance(now: number): void {
    if (this.#ended) return;
    const { spacing: period, transit, patience } = this.#context;
    if (this.#phase === undefined && now > this.#from + period + transit + patience) {
      // None has ever come: the grid began with the subscription.
      this.#phase = this.#from;
      this.#place = -1;
    }
    if (this.#phase !== undefined) {
      const latest = Math.floor((now - transit - this.#slack() - this.#phase) / period);
      if (latest > this.#place) {
        this.#skipTo(latest + 1);
        this.#place = latest;
      }
    }
    this.#finish((missing) => missing.due + patience < now);
  }

  end(at: number): void {
    if (this.#ended) return;
    this.advance(at);
    this.#ended = true;
    this.#finish((missing) => missing.due + this.#context.transit + this.#slack() < at);
    this.#missing = [];
  }

  restart(): void {
    // The grid goes on, whatever the console says.
    this.#last = undefined;
  }

  #slack(): number {
    return this.#context.uncertainty() + 500;
  }

  #due(place: number): number {
    return (this.#phase ?? 0) + place * this.#context.spacing;
  }

  /** The places before this one stayed empty. */
  #skipTo(place: number): void {
    const silent = place - this.#place - 1;
    for (let empty = this.#place + 1; empty < place && silent <= mostSilent; empty++) {
      const due = this.#due(empty);
      this.#missing.push({ place: empty, version: this.#context.history.at(due), due, overtaken: true });
    }
    this.#place = place;
    if (silent > mostSilent) this.#context.lost(this.#context.history.newest, this.#due(place));
  }

  #follow(late: number): void {
    if (this.#phase === undefined) return;
    const { transit } = this.#context;
    this.#lateRun = late > transit + this.#slack() ? this.#lateRun + 1 : 0;
    // Early values are never by chance, and values that stay late are on a grid that began anew.
    const wholly = late < 0 || this.#lateRun > 1;
    this.#phase += wholly ? late : late * following;
  }

  /** A value for which the grid has no place. */
  #extra(value: Bytes, at: number, room: number | undefined): Verdict {
    const last = this.#last;
    if (last === undefined || !equalBytes(last.value, value)) return this.#judge(value, at, room, at, false);
    return marked('duplicated', this.#context.history.get(last.version));
  }

  /** Whether no such value was the truth when one for the place at `due` may have been sent. */
  #isOld(value: Bytes, due: number, at: number, room: number | undefined): boolean {
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, room);
    const from = due - this.#context.transit - this.#slack();
    return this.#context.history.newestMatch(matches, from, at + this.#slack()) === undefined;
  }

  /** The oldest empty place for which this value was the truth. */
  #emptyFor(value: Bytes, room: number | undefined): EmptyPlace | undefined {
    const { history, spacing: period } = this.#context;
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, room);
    return this.#missing.find(
      ({ due }) => history.newestMatch(matches, due - period - this.#slack(), due + this.#slack()) !== undefined,
    );
  }

  #fill(empty: EmptyPlace, value: Bytes, at: number, room: number | undefined): Verdict {
    this.#missing = this.#missing.filter((missing) => missing !== empty);
    return this.#judge(value, at, room, empty.due, true);
  }

  /**
   * @param due when the value would have come if nothing had held it up
   * @param behind it fills a place before the last one
   */
  #judge(value: Bytes, at: number, room: number | undefined, due: number, behind: boolean): Verdict {
    const { history, transit } = this.#context;
    const slack = this.#slack();
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, room);
    const before = this.#last;
    const current = history.oldestMatch(matches, before?.version ?? history.first, due - transit - slack, at + slack);
    if (current === undefined && history.isUnsure(at)) return unjudged;
    const version = current ?? history.newestMatch(matches, -Infinity, at + slack);
    if (version === undefined) return marked('wrong', undefined);
    const goesBack = before !== undefined && version.n < before.version;
    const isNew = before === undefined || version.n > before.version;
    if (!goesBack) {
      if (before !== undefined) this.#context.coalesced(Math.max(0, version.n - before.version - 1));
      this.#last = { version: version.n, value };
    }
    version.carried = true;
    if (goesBack && behind) return marked('reordered', version);
    const late = at - due - transit;
    if (late > slack) return { ...marked('late', version, late), isNew };
    const old = due - transit - history.begin(version.n + 1);
    if (goesBack || old > slack) return marked('stale', version, Math.max(0, old));
    return { ...right(version), isNew };
  }

  #finish(isOver: (missing: Missing) => boolean): void {
    if (this.#missing.length === 0) return;
    const over = this.#missing.filter(isOver);
    if (over.length === 0) return;
    this.#missing = this.#missing.filter((missing) => !over.includes(missing));
    for (const { version, due } of over) this.#context.lost(this.#context.history.get(version), due);
  }
}
