import { toHex } from '../base/bytes.ts';
import type { Entry } from './entry.ts';
import type { LedgerReport, ValueReport } from './report.ts';

/** What one recording held, as far as two can be compared: made while its ledger is made. */
export type SessionDigest = {
  readonly report: LedgerReport;
  /** By id: for the board's side and the air's, the values in their order. */
  readonly values: ReadonlyMap<string, { readonly truth: readonly string[]; readonly air: readonly string[] }>;
};

/** One thing in which two recordings differ. */
export type Difference = {
  readonly id: string;
  readonly what: string;
  readonly first: string;
  readonly second: string;
};

/** Values of one side that are compared one by one; beyond that only counts are. */
const mostCompared = 100_000;
/** Delays differ when the medians do by more than this share, and by more than a millisecond. */
const share = 0.1;

/** Collects what a comparison needs. */
export class Digester {
  readonly #ids: readonly string[];
  readonly #values: { readonly truth: string[]; readonly air: string[] }[];

  /** @param ids of the table's values, in its order */
  constructor(ids: readonly string[]) {
    this.#ids = ids;
    this.#values = ids.map(() => ({ truth: [], air: [] }));
  }

  take(entry: Entry): void {
    if (entry.kind !== 'truth' && entry.kind !== 'air') return;
    const list = this.#values[entry.value]?.[entry.kind];
    if (list !== undefined && list.length < mostCompared) list.push(toHex(entry.raw));
  }

  digest(report: LedgerReport): SessionDigest {
    const values = this.#ids.map((id, i) => [id, this.#values[i] ?? { truth: [], air: [] }] as const);
    return { report, values: new Map(values) };
  }
}

/** In what two recordings differ: values, then counts, then marks, then delays; by the order of the first one's table. */
export function compareSessions(first: SessionDigest, second: SessionDigest): readonly Difference[] {
  const differences: Difference[] = [];
  for (const a of first.report.values) {
    const b = second.report.values.find(({ id }) => id === a.id);
    if (b === undefined) differences.push({ id: a.id, what: 'value', first: 'there', second: 'not in its contract' });
    else differences.push(...compareValues(a, b, first, second));
  }
  for (const { id } of second.report.values) {
    if (!first.report.values.some((a) => a.id === id)) {
      differences.push({ id, what: 'value', first: 'not in its contract', second: 'there' });
    }
  }
  return differences;
}

function compareValues(
  a: ValueReport,
  b: ValueReport,
  first: SessionDigest,
  second: SessionDigest,
): readonly Difference[] {
  const { id } = a;
  const differences: Difference[] = [];
  const differ = (what: string, x: string, y: string): void => {
    if (x !== y) differences.push({ id, what, first: x, second: y });
  };
  for (const [side, words] of [
    ['truth', 'what the board held'],
    ['air', 'what crossed the air'],
  ] as const) {
    const x = first.values.get(id)?.[side] ?? [];
    const y = second.values.get(id)?.[side] ?? [];
    const at = x.findIndex((raw, i) => raw !== y[i]);
    const place = at >= 0 ? at : y.length > x.length ? x.length : undefined;
    if (place === undefined) continue;
    differ(`${words}, from number ${place + 1} on`, shown(x[place]), shown(y[place]));
  }
  for (const key of ['truth', 'read', 'written', 'notified', 'indicated', 'refused', 'coalesced'] as const) {
    differ(countWords[key], String(a.counts[key]), String(b.counts[key]));
  }
  for (const kind of Object.keys(a.counts.marks) as (keyof typeof a.counts.marks)[]) {
    differ(`marked ${kind}`, String(a.counts.marks[kind]), String(b.counts.marks[kind]));
  }
  for (const kind of ['down', 'up', 'read'] as const) {
    const [x, y] = [a.delays[kind].median, b.delays[kind].median];
    const isFar = Math.abs(x - y) > Math.max(1000, share * Math.max(x, y));
    if (isFar || Number.isNaN(x) !== Number.isNaN(y)) differ(`${delayWords[kind]}, median`, delay(x), delay(y));
  }
  return differences;
}

const countWords = {
  truth: 'changes of truth',
  read: 'reads',
  written: 'writes',
  notified: 'notifications',
  indicated: 'indications',
  refused: 'refusals',
  coalesced: 'changes let go by the rate',
} as const;

const delayWords = {
  down: 'delay from the board to the central',
  up: 'delay from a write to the change',
  read: 'time of a read',
} as const;

function shown(raw: string | undefined): string {
  return raw === undefined ? 'nothing more' : raw === '' ? '(empty)' : raw;
}

function delay(us: number): string {
  return Number.isNaN(us) ? 'none' : `${(us / 1000).toFixed(1)} ms`;
}
