import type { Bytes } from '../base/bytes.ts';
import { marked, right, unjudged, type Flow, type FlowContext, type Missing, type Verdict } from './flow.ts';
import { isAsSent, type Version } from './truth-history.ts';

/** When a value was sent, as far as it can be told from here. */
type Sending = { readonly low: number; readonly middle: number; readonly high: number };

/** The next sending that the policy asks for. */
type Expected = {
  readonly sending: Sending;
  /** The version that is the truth then. */
  readonly version: number;
  /** The newest version that may be the truth then. */
  readonly newest: number;
};

const never: Sending = { low: -Infinity, middle: -Infinity, high: -Infinity };
/** Arrivals after which the ways they took say how long a way is. */
const enoughWays = 16;
/** How much of a longer or shorter way is forgotten with each arrival. */
const forgetting = 1 / 256;

/**
 * A subscription to `notify: { on: change }`: each change is sent at once, or when the spacing since the last sending is
 * over, and then the latest value wins. The flow walks along the truth and expects a sending where the policy asks for
 * one; changes between two sendings are let go, a sending that stayed away is missing.
 */
export class ChangeFlow implements Flow {
  readonly #context: FlowContext;
  /** Changes from here on are due; those since it was asked for may come. */
  #from: number;
  /** The last version that was carried, or given up. */
  #last: number;
  #sent: Sending;
  #missing: Missing[] = [];
  #ended = false;
  /** Shortest and longest time from sending to arrival, by what came lately. */
  #shortest = 0;
  #longest: number;
  #ways = 0;

  /**
   * @param asked when the subscription was asked for, `from`: when it was accepted
   * @param sentBefore when this value may have been sent last, to anybody; the spacing counts from there
   */
  constructor(context: FlowContext, asked: number, from: number, sentBefore: number) {
    this.#context = context;
    this.#from = from;
    this.#last = context.history.at(asked - context.uncertainty());
    this.#sent = sentBefore === -Infinity ? never : { low: -Infinity, middle: sentBefore, high: sentBefore };
    this.#longest = context.transit;
  }

  /** The latest time at which something may have been sent. */
  get sentLast(): number {
    return this.#sent.high;
  }

  arrive(value: Bytes, at: number, room: number | undefined): Verdict {
    this.advance(at);
    const { history } = this.#context;
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, room);
    const version = this.#nextMatch(matches, at);
    if (version !== undefined) return this.#carried(version, at);
    const overtaken = this.#missing.find(({ version: n }) => this.#is(n, matches));
    if (overtaken !== undefined) return this.#cameAfterAll(overtaken);
    const old = history.newestMatch(matches, -Infinity, at + this.#slack());
    if (history.isUnsure(at)) return this.#unknown(at);
    if (old === undefined) {
      this.#inItsStead(at);
      return marked('wrong', undefined);
    }
    if (!old.carried && old.n < this.#last) {
      old.carried = true;
      return marked('reordered', old);
    }
    return this.#inItsStead(at)
      ? { ...marked('stale', old, at - this.#longest - history.begin(old.n + 1)), isNew: false }
      : marked('duplicated', old);
  }

  advance(now: number): void {
    if (this.#ended) return;
    const { transit, patience, spacing } = this.#context;
    for (let next = this.#expected(); next !== undefined; next = this.#expected()) {
      const due = next.sending.high + transit + spacing / 2 + this.#slack();
      if (now <= due) break;
      this.#giveUp(next);
    }
    this.#finish((missing) => missing.due + patience < now);
  }

  end(at: number): void {
    if (this.#ended) return;
    const { transit } = this.#context;
    this.advance(at);
    this.#ended = true;
    this.#finish((missing) => missing.due + transit + this.#slack() < at);
    this.#missing = [];
  }

  restart(at: number): void {
    this.#from = at;
    this.#sent = { low: -Infinity, middle: at, high: at };
    this.#missing = [];
  }

  #is(n: number, matches: (truth: Bytes) => boolean): boolean {
    const version = this.#context.history.get(n);
    return version !== undefined && matches(version.value);
  }

  /** What two clocks and a whole millisecond leave open. */
  #slack(): number {
    return this.#context.uncertainty() + 500;
  }

  /**
   * The version after the last one that this arrival carries: one that fits the ways of other arrivals before one that is
   * allowed, and that before one that is late.
   */
  #nextMatch(matches: (value: Bytes) => boolean, at: number): Version | undefined {
    const { history, transit } = this.#context;
    const slack = this.#slack();
    let allowed: Version | undefined;
    let late: Version | undefined;
    for (let n = this.#last + 1; n <= history.last; n++) {
      const version = history.get(n);
      if (version === undefined) continue;
      if (history.timeOf(version) > at + slack) break;
      if (!matches(version.value)) continue;
      const end = history.begin(n + 1);
      if (this.#ways >= enoughWays && end >= at - this.#longest - slack) return version;
      if (end >= at - transit - slack) allowed ??= version;
      else late ??= version;
    }
    const overdue = this.#missing.find(({ version: n, overtaken }) => !overtaken && this.#is(n, matches));
    return history.get(overdue?.version ?? -1) ?? allowed ?? late;
  }

  #carried(version: Version, at: number): Verdict {
    const { history, transit } = this.#context;
    const began = history.timeOf(version);
    const replaced = history.begin(version.n + 1);
    const wasMissing = this.#missing.find((missing) => missing.version === version.n);
    const slack = this.#slack();
    if (wasMissing !== undefined) {
      version.carried = true;
      this.#missing = this.#missing.filter((missing) => missing !== wasMissing);
      for (const missing of this.#missing) if (missing.version < version.n) missing.overtaken = true;
      return marked('late', version, at - wasMissing.due - transit);
    }
    this.#walkTo(version, at);
    const expected = this.#expected();
    const due = Math.max(began, expected === undefined ? began : Math.min(expected.sending.high, at));
    this.#context.coalesced(this.#skipped(version.n));
    for (const missing of this.#missing) missing.overtaken = true;
    const late = at - due - transit - slack;
    const old = at - transit - slack - replaced;
    // What was sent at once, or held only for a moment, tells how long it was on its way.
    if (late <= 0 && due - began < 1) this.#learn(at - began, at - began);
    else if (late <= 0 && replaced - began <= transit / 2) this.#learn(Math.max(0, at - replaced), at - began);
    const sentAt = Math.min(Math.max(began, at - this.#shortest), Math.max(began, replaced));
    this.#last = version.n;
    this.#sent = { low: Math.max(began, Math.min(sentAt, at - this.#longest)), middle: sentAt, high: sentAt + slack };
    version.carried = true;
    if (late > 0) return marked('late', version, at - due - transit);
    return old > 0 ? marked('stale', version, at - transit - replaced) : right(version);
  }

  /** Gives up the sendings that must have been made before `version` was: they would have come before it. */
  #walkTo(version: Version, at: number): void {
    const { history, spacing } = this.#context;
    const slack = this.#slack();
    const ways = this.#ways >= enoughWays ? this.#longest : this.#context.transit;
    const replaced = history.begin(version.n + 1);
    const earliest = Math.max(history.timeOf(version), Math.min(at - ways, replaced) - slack);
    for (let next = this.#expected(); next !== undefined; next = this.#expected()) {
      if (next.newest >= version.n || next.version >= version.n) return;
      // Had one been sent in between, this one had to wait for the spacing after it.
      if (spacing > 0 && earliest <= next.sending.high + Math.max(slack, spacing / 2)) return;
      this.#giveUp(next);
    }
  }

  #expected(): Expected | undefined {
    const { history, spacing } = this.#context;
    const slack = this.#slack();
    let next = Math.max(this.#last + 1, history.first);
    while (next <= history.last && history.begin(next) < this.#from + slack) next += 1;
    if (next > history.last) return undefined;
    const changed = history.begin(next);
    if (spacing === 0) {
      const version = history.lastOfTick(next);
      return { sending: { low: changed, middle: changed, high: changed }, version, newest: version };
    }
    const sending = {
      low: Math.max(changed, this.#sent.low + spacing),
      middle: Math.max(changed, this.#sent.middle + spacing),
      high: Math.max(changed, this.#sent.high + spacing),
    };
    const version = Math.max(next, history.lastOfTick(history.at(sending.middle)));
    return { sending, version, newest: Math.max(version, history.at(sending.high + slack)) };
  }

  #giveUp({ sending, version }: Expected): void {
    this.#context.coalesced(this.#skipped(version));
    this.#missing.push({ version, due: sending.high, overtaken: false });
    this.#last = version;
    this.#sent = sending;
  }

  /** Versions between the last one and `n` that were let go. */
  #skipped(n: number): number {
    return Math.max(0, n - Math.max(this.#last + 1, this.#context.history.first));
  }

  /** A change that was not told: nothing can be said of it but that it was sent. */
  #unknown(at: number): Verdict {
    this.#last = Math.max(this.#last, this.#context.history.at(at - this.#shortest));
    this.#sent = { low: at - this.#longest, middle: at - this.#shortest, high: at };
    return unjudged;
  }

  /** Came behind a newer one. */
  #cameAfterAll(missing: Missing): Verdict {
    const version = this.#context.history.get(missing.version);
    if (version !== undefined) version.carried = true;
    this.#missing = this.#missing.filter((other) => other !== missing);
    return marked('reordered', version);
  }

  /** Whether something was due that this arrival came in the place of. It is not missed then. */
  #inItsStead(at: number): boolean {
    const next = this.#expected();
    const slack = this.#context.spacing > 0 ? this.#slack() : 0;
    if (next === undefined || next.sending.middle > at - this.#shortest + slack) return false;
    this.#last = next.version;
    this.#sent = next.sending;
    return true;
  }

  #learn(least: number, most: number): void {
    if (this.#ways === 0) {
      this.#shortest = least;
      this.#longest = most;
    }
    this.#ways += 1;
    this.#shortest = Math.min(least, this.#shortest + (least - this.#shortest) * forgetting);
    this.#longest = Math.max(most, this.#longest - (this.#longest - most) * forgetting);
  }

  #finish(isOver: (missing: Missing) => boolean): void {
    if (this.#missing.length === 0) return;
    const over = this.#missing.filter(isOver);
    if (over.length === 0) return;
    this.#missing = this.#missing.filter((missing) => !over.includes(missing));
    for (const { version, due } of over) this.#context.lost(this.#context.history.get(version), due);
  }
}
