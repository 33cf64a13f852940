import { equalBytes, type Bytes } from '../base/bytes.ts';
import type { MarkKind } from './mark.ts';
import type { TruthHistory, Version } from './truth-history.ts';

/** A write of the central, from when it was asked for to its answer. */
export type Write = {
  readonly asked: number;
  readonly at: number;
  readonly connection: number;
  readonly value: Bytes;
  /** Without one nobody says when it arrived. */
  readonly response: boolean;
};

export type WriteContext = {
  readonly history: TruthHistory;
  /** How long a write without response may be on its way. */
  readonly transit: number;
  /** How long a write that did not become the truth is waited for. */
  readonly patience: number;
  uncertainty(): number;
  /** What became of a write. */
  judged(write: Write, outcome: WriteOutcome): void;
  /** The truth changed by a write that nobody made. */
  unasked(version: Version, mark: MarkKind): void;
};

export type WriteOutcome = {
  readonly version: Version | undefined;
  readonly mark: MarkKind | undefined;
  readonly by: number;
  readonly unjudged: boolean;
};

type AirChange = { readonly version: Version; used: boolean };

/**
 * Writes and what they made of the truth: each accepted write becomes a change with the cause `air` while it is under way,
 * unless the board held the value already. A change that fits no write is another client's, and no matter of ours, unless
 * it repeats a write of ours or holds one that was refused.
 */
export class WriteCheck {
  readonly #context: WriteContext;
  #pending: Write[] = [];
  #changes: AirChange[] = [];
  /** Refused lately: its value must not be held. */
  #refused: { readonly at: number; readonly asked: number; readonly value: Bytes }[] = [];
  #lastUsed: Version | undefined;
  /** Whether a change that no write of ours made may be another client's. */
  othersMayWrite = false;

  constructor(context: WriteContext) {
    this.#context = context;
  }

  written(write: Write): void {
    this.#pending.push(write);
  }

  refused(asked: number, at: number, value: Bytes): void {
    this.#refused.push({ asked, at, value });
  }

  changed(version: Version): void {
    this.#changes.push({ version, used: false });
  }

  /** All that was told up to `now` is known. */
  advance(now: number): void {
    if (this.#pending.length > 0) this.#pending = this.#pending.filter((write) => !this.#judge(write, now));
    if (this.#changes.length > 0) this.#changes = this.#changes.filter((change) => !this.#isOver(change, now));
    if (this.#refused.length > 0) this.#refused = this.#refused.filter(({ at }) => at + this.#keep > now);
  }

  /** The board was reset or something was not told: what waits can no longer be judged. */
  restart(): void {
    for (const write of this.#pending) this.#context.judged(write, unknown);
    this.#pending = [];
    this.#changes = [];
    this.#refused = [];
    this.#lastUsed = undefined;
  }

  get #keep(): number {
    return this.#context.patience + this.#context.transit;
  }

  #slack(): number {
    return this.#context.uncertainty() + 500;
  }

  /** @returns whether it is judged */
  #judge(write: Write, now: number): boolean {
    const { history, transit, patience } = this.#context;
    const slack = this.#slack();
    const from = write.asked - slack;
    const to = (write.response ? write.at : write.asked + transit) + slack;
    if (now <= to) return false;
    const free = this.#changes.filter(({ used }) => !used);
    const same = free.filter(({ version }) => equalBytes(version.value, write.value));
    const within = ({ version }: AirChange): boolean => {
      const at = history.timeOf(version);
      return at >= from && at <= to;
    };
    const made = same.find(within);
    if (made !== undefined) return this.#end(write, made, undefined, 0);
    const held = history.newestMatch((value) => equalBytes(value, write.value), from, to);
    if (held !== undefined) {
      this.#context.judged(write, { version: held, mark: undefined, by: 0, unjudged: false });
      return true;
    }
    if (history.isUnsure(write.asked)) {
      this.#context.judged(write, unknown);
      return true;
    }
    const other = free.find(
      (change) => within(change) && !this.#pending.some(({ value }) => equalBytes(value, change.version.value)),
    );
    if (other !== undefined) return this.#end(write, other, 'wrong', 0);
    const late = same.find(({ version }) => history.timeOf(version) > to);
    if (late !== undefined) return this.#end(write, late, 'late', history.timeOf(late.version) - to);
    if (now <= to + patience) return false;
    this.#context.judged(write, { version: undefined, mark: 'lost', by: 0, unjudged: false });
    return true;
  }

  #end(write: Write, change: AirChange, mark: MarkKind | undefined, by: number): true {
    change.used = true;
    const isOlder = this.#lastUsed !== undefined && change.version.n < this.#lastUsed.n;
    if (!isOlder) this.#lastUsed = change.version;
    this.#context.judged(write, {
      version: change.version,
      mark: mark ?? (isOlder ? 'reordered' : undefined),
      by: Math.round(by),
      unjudged: false,
    });
    return true;
  }

  /** Whether nothing more can come of a change. */
  #isOver({ version, used }: AirChange, now: number): boolean {
    const at = this.#context.history.timeOf(version);
    // What a write made is remembered for longer: a later change may repeat it.
    if (at + (used ? 3 : 1) * this.#keep > now) return false;
    if (used) return true;
    const held = this.#refused.some(
      (refused) =>
        equalBytes(refused.value, version.value) &&
        at >= refused.asked - this.#slack() &&
        at <= refused.at + this.#context.transit + this.#slack(),
    );
    if (held) this.#context.unasked(version, 'wrong');
    else if (!this.othersMayWrite && this.#repeats(version)) this.#context.unasked(version, 'duplicated');
    return true;
  }

  #repeats({ n, value }: Version): boolean {
    return this.#changes.some(({ version, used }) => used && version.n < n && equalBytes(version.value, value));
  }
}

const unknown: WriteOutcome = { version: undefined, mark: undefined, by: 0, unjudged: true };
