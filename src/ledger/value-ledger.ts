import { us, type Microseconds } from '../base/quantity.ts';
import { equalBytes, type Bytes } from '../base/bytes.ts';
import type { Cause } from '../board/model.ts';
import type { ValueDefinition } from '../table/model.ts';
import type { BoardClock, Stamp } from './board-clock.ts';
import { ChangeFlow } from './change-flow.ts';
import { Delays } from './delays.ts';
import type { AirEntry, Entry } from './entry.ts';
import { marked, right, unjudged, type Flow, type FlowContext, type Verdict } from './flow.ts';
import { markKinds, type MarkKind } from './mark.ts';
import type { Observation, Way } from './observation.ts';
import { PeriodFlow } from './period-flow.ts';
import { isAsSent, TruthHistory } from './truth-history.ts';
import { WriteCheck } from './write-check.ts';

/** Counts of one value. Of what crossed, each crossing is counted once in its way and at most once among the marks. */
export type ValueCounts = Readonly<Record<CountKey, number>> & { readonly marks: Readonly<Record<MarkKind, number>> };

export type CountKey = (typeof countKeys)[number];

export const countKeys = [
  'truth',
  'read',
  'written',
  'notified',
  'indicated',
  'refused',
  /** Changes that a newer one took the place of, as the contract's rate allows. */
  'coalesced',
  /** Crossings of which nothing can be said, since the console did not tell all. */
  'unjudged',
] as const;

export type ValueLedgerOptions = {
  /** How long a value may be on its way, microseconds. */
  readonly transit: number;
  /** How long something missing is waited for until it is lost, microseconds. */
  readonly patience: number;
  readonly onEntry: (entry: Entry) => void;
};

type Crossing = Extract<Observation, { kind: 'read' | 'written' | 'notified' | 'indicated' }>;

/** The ledger of one value: what the board held of it, what crossed, and how the two go together. */
export class ValueLedger {
  /** From the change of truth to the central; from the central's writing to the change; from asking to the answer. */
  readonly delays = { down: new Delays(), up: new Delays(), read: new Delays() };
  readonly history: TruthHistory;
  readonly definition: ValueDefinition;
  readonly #counts = Object.fromEntries(countKeys.map((key) => [key, 0])) as Record<CountKey, number>;
  readonly #marks = Object.fromEntries(markKinds.map((kind) => [kind, 0])) as Record<MarkKind, number>;
  readonly #clock: BoardClock;
  readonly #options: ValueLedgerOptions;
  readonly #flows = new Map<number, Flow>();
  readonly #writes: WriteCheck;
  /** When the value may have been sent last, to anybody. */
  #sentLast = -Infinity;

  constructor(definition: ValueDefinition, clock: BoardClock, options: ValueLedgerOptions) {
    this.definition = definition;
    this.history = new TruthHistory(clock);
    this.#clock = clock;
    this.#options = options;
    this.#writes = new WriteCheck({
      history: this.history,
      transit: options.transit,
      patience: options.patience,
      uncertainty: () => this.#uncertainty(),
      judged: (write, { version, mark, by, unjudged: unsure }) => {
        const changed = version?.cause === 'air' && mark !== 'wrong' ? this.history.timeOf(version) : undefined;
        const delay = changed === undefined || changed < write.asked - 1000 ? undefined : changed - write.asked;
        if (delay !== undefined) this.delays.up.add(delay);
        if (unsure) this.#counts.unjudged += 1;
        this.#enter({
          kind: 'air',
          value: definition.index,
          at: us(write.at),
          asked: us(write.asked),
          connection: write.connection,
          way: 'written',
          raw: write.value,
          version: version?.n,
          delay,
          mark,
          by,
        });
      },
      unasked: (version, mark) => {
        this.#missing(mark, version.n, version.value, this.history.timeOf(version), 0);
      },
    });
  }

  get counts(): ValueCounts {
    return { ...this.#counts, marks: { ...this.#marks } };
  }

  /** Whether another client may write it: then a change that no write of ours made is no mistake. */
  set othersMayWrite(may: boolean) {
    this.#writes.othersMayWrite = may;
  }

  /** The board told a change, or, with `asked`, what it holds. */
  told(stamp: Stamp, value: Bytes, cause: Cause, asked: boolean): void {
    const { newest } = this.history;
    if (asked && newest !== undefined && equalBytes(newest.value, value)) {
      this.history.confirm();
      return;
    }
    const version = this.history.add(stamp, value, cause);
    if (cause === 'air' && !asked) this.#writes.changed(version);
    this.#counts.truth += 1;
    const at = us(this.history.timeOf(version));
    this.#options.onEntry({
      kind: 'truth',
      value: this.definition.index,
      version: version.n,
      at,
      ms: stamp,
      raw: value,
      cause,
    });
  }

  /** Something was not told: what is known is not the whole truth until the next change. */
  missedTruth(at: Microseconds): void {
    this.history.miss(at);
    this.#writes.restart();
    for (const flow of this.#flows.values()) flow.restart(at);
  }

  /** The board was reset: what it held and who was subscribed is gone. */
  reset(): void {
    this.#writes.restart();
    this.#flows.clear();
    this.history.clear();
    this.#sentLast = -Infinity;
  }

  subscribed(connection: number, asked: Microseconds, at: Microseconds, mode: string, othersToo: boolean): void {
    this.unsubscribed(connection, asked);
    const { notify } = this.definition;
    if (mode === 'off' || notify === undefined) return;
    const context = this.#flowContext(connection);
    if (notify.on.kind === 'every') this.#flows.set(connection, new PeriodFlow(context, at));
    else {
      const sentBefore = othersToo ? Math.max(this.#sentLast, at) : this.#sentLast;
      this.#flows.set(connection, new ChangeFlow(context, asked, at, sentBefore));
    }
  }

  unsubscribed(connection: number, at: Microseconds): void {
    const flow = this.#flows.get(connection);
    if (flow === undefined) return;
    flow.end(at);
    this.#noteSending(flow);
    this.#flows.delete(connection);
  }

  /** Something crossed, and all that was told up to then and a little longer is known. */
  crossed(crossing: Crossing, room: number | undefined): void {
    this.#counts[crossing.kind] += 1;
    switch (crossing.kind) {
      case 'written':
        this.#writes.written(crossing);
        return;
      case 'read':
        this.delays.read.add(crossing.at - crossing.asked);
        this.#enterAir(crossing, crossing.kind, crossing.asked, this.#judgeRead(crossing));
        return;
      case 'notified':
      case 'indicated': {
        const flow = this.#flows.get(crossing.connection);
        const verdict = flow?.arrive(crossing.value, crossing.at, room) ?? this.#judgeUnasked(crossing, room);
        if (flow !== undefined) this.#noteSending(flow);
        this.#enterAir(crossing, crossing.kind, crossing.at, verdict);
      }
    }
  }

  refused(refusal: Extract<Observation, { kind: 'refused' }>): void {
    const { asked, at, connection, access, code, value } = refusal;
    this.#counts.refused += 1;
    if (value !== undefined) this.#writes.refused(asked, at, value);
    this.#options.onEntry({
      kind: 'refused',
      value: this.definition.index,
      at,
      asked,
      connection,
      access,
      code,
      raw: value,
    });
  }

  /** All that was told and all that arrived up to `now` is known. */
  advance(now: number): void {
    this.#writes.advance(now);
    for (const flow of this.#flows.values()) flow.advance(now);
  }

  #uncertainty(): number {
    return this.history.length === 0 ? 0 : this.#clock.uncertainty;
  }

  #noteSending(flow: Flow): void {
    if (flow instanceof ChangeFlow) this.#sentLast = Math.max(this.#sentLast, flow.sentLast);
  }

  #flowContext(connection: number): FlowContext {
    const { notify } = this.definition;
    const period = notify?.on.kind === 'every' ? notify.on.period : 0;
    return {
      history: this.history,
      spacing: Math.max(period, notify?.minSpacing ?? 0),
      transit: this.#options.transit,
      patience: this.#options.patience,
      uncertainty: () => this.#uncertainty(),
      lost: (version, due) => {
        // Nothing is told of what was due while the console was silent.
        if (version !== undefined) this.#missing('lost', version.n, version.value, due, connection);
      },
      coalesced: (count) => {
        this.#counts.coalesced += count;
      },
    };
  }

  #judgeRead({ asked, at, value }: Extract<Crossing, { kind: 'read' }>): Verdict {
    const { history } = this;
    const slack = this.#uncertainty() + 500;
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, value.length);
    const now = history.newestMatch(
      (truth) => matches(truth) && truth.length === value.length,
      asked - slack,
      at + slack,
    );
    if (now !== undefined) return right(now);
    if (history.isUnsure(asked)) return unjudged;
    const old = history.newestMatch((truth) => matches(truth) && truth.length === value.length, -Infinity, at);
    if (old !== undefined) return marked('stale', old, asked - history.begin(old.n + 1));
    // A long value is read in pieces: one that changes meanwhile may come torn (docs/ledger.md).
    const changes = history.at(at + slack) > history.at(asked - slack);
    return changes && value.length > shortestLongRead ? unjudged : marked('wrong', undefined);
  }

  /** What came without a subscription that is known of: it must at least have been the truth a moment ago. */
  #judgeUnasked({ at, value }: Crossing, room: number | undefined): Verdict {
    const { history } = this;
    const matches = (truth: Bytes): boolean => isAsSent(truth, value, room);
    const version = history.newestMatch(matches, at - this.#options.transit, at + this.#uncertainty() + 500);
    if (version !== undefined) return right(version);
    return history.isUnsure(at) ? unjudged : marked('wrong', undefined);
  }

  #enterAir(crossing: Crossing, way: Way, asked: Microseconds, verdict: Verdict): void {
    const { version, mark, by, isNew } = verdict;
    const changed = version === undefined || way === 'read' || !isNew ? undefined : this.history.timeOf(version);
    const delay = changed === undefined ? undefined : crossing.at - changed;
    if (delay !== undefined) this.delays.down.add(delay);
    if (verdict.unjudged) this.#counts.unjudged += 1;
    this.#enter({
      kind: 'air',
      value: this.definition.index,
      at: crossing.at,
      asked,
      connection: crossing.connection,
      way,
      raw: crossing.value,
      version: version?.n,
      delay,
      mark,
      by,
    });
  }

  #enter(entry: AirEntry): void {
    if (entry.mark !== undefined) this.#marks[entry.mark] += 1;
    this.#options.onEntry(entry);
  }

  #missing(mark: MarkKind, version: number, raw: Bytes, due: number, connection: number): void {
    this.#marks[mark] += 1;
    const at = us(Math.round(due));
    this.#options.onEntry({ kind: 'missing', value: this.definition.index, at, connection, mark, version, raw });
  }
}

/** A value of more octets than the default MTU lets through at once is read in pieces where no larger MTU is agreed. */
const shortestLongRead = 21;
