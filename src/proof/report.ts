import { toHex, type Bytes } from '../base/bytes.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { lineIndex, type LineIndex, type Position, type SourceRange } from '../base/text-range.ts';
import { describePdu } from '../att/describe.ts';
import type { Table } from '../table/model.ts';
import { isProved, type ProofResult } from './run.ts';
import {
  countVerdicts,
  families,
  familyTitles,
  type CaseResult,
  type Counts,
  type Family,
  type VerdictWord,
} from './verdict.ts';
import { count } from './words.ts';

/** What every report is made from: a proof with its places as lines and its octets in words. */
export type Report = {
  /** The contract's file as the user named it. */
  readonly file: string;
  readonly board: string;
  readonly link: string;
  readonly seed: number;
  /** The table that was proved, by its hash as the specification prints it. */
  readonly databaseHash: string;
  readonly proved: boolean;
  /** The proof was ended before its last case. */
  readonly stopped: boolean;
  /** Cases that were asked for. */
  readonly total: number;
  readonly counts: Counts;
  /** In the order of {@link families}; families without cases are left out. */
  readonly families: readonly ReportFamily[];
  readonly lines: LineIndex;
};

export type ReportFamily = {
  readonly family: Family;
  /** What the family asks. */
  readonly title: string;
  readonly counts: Counts;
  readonly cases: readonly ReportCase[];
};

export type ReportCase = {
  readonly id: string;
  readonly family: Family;
  readonly about: string;
  readonly verdict: VerdictWord;
  readonly bug: boolean;
  readonly expected: string;
  readonly seen: string;
  readonly place: Position;
  readonly range: SourceRange;
  readonly took: Microseconds;
  readonly exchange: readonly ExchangeLine[];
};

export type ExchangeLine =
  | {
      readonly kind: 'pdu';
      /** Since the case began. */
      readonly at: Microseconds;
      readonly from: 'central' | 'board';
      /** Which connection of the case, from 1. */
      readonly connection: number;
      readonly hex: string;
      readonly about: string;
    }
  /** What the console said or did, or what became of the link. */
  | { readonly kind: 'word'; readonly at: Microseconds; readonly by: 'console' | 'link'; readonly about: string }
  | { readonly kind: 'left-out'; readonly count: number };

/**
 * @param file the contract's file as the user named it
 * @param source the contract's text, for lines and columns
 */
export function makeReport(result: ProofResult, table: Table, file: string, source: string): Report {
  const lines = lineIndex(source);
  const cases = result.results.map((one) => reportCase(one, table, lines));
  return {
    file,
    board: table.board.name,
    link: result.link,
    seed: result.seed,
    databaseHash: toHex(table.databaseHash.specification),
    proved: isProved(result),
    stopped: result.results.length < result.total,
    total: result.total,
    counts: result.counts,
    families: families.flatMap((family) => {
      const own = cases.filter((one) => one.family === family);
      if (own.length === 0) return [];
      return [{ family, title: familyTitles[family], counts: countVerdicts(own), cases: own }];
    }),
    lines,
  };
}

/** Every case of the report, family by family. */
export function allCases(report: Report): readonly ReportCase[] {
  return report.families.flatMap(({ cases }) => cases);
}

/** What a reader must look at: what failed, and what nothing was learned about. */
export function needsAttention({ verdict }: ReportCase): boolean {
  return verdict === 'failed' || verdict === 'inconclusive';
}

/** `490 passed, 1 failed, 3 not reachable`: only what there is. */
export function countWords(counts: Counts): string {
  const parts = [
    [counts.passed, 'passed'],
    [counts.failed, 'failed'],
    [counts.inconclusive, 'inconclusive'],
    [counts.notReachable, 'not reachable'],
  ] as const;
  const shown = parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`);
  return shown.length === 0 ? 'nothing run' : shown.join(', ');
}

/** What a radio link is not: said on every report that a person reads. */
export const caution =
  'A radio link is not a safety function: a proof shows what a board answers, not that a motor, heater, lamp or ' +
  'battery is safe. Stops and limits belong in hardware; follow local codes, the laboratory’s rules and licensed ' +
  'practice; use a certified radio module and obey local radio regulations.';

/** The whole proof in a sentence or two. */
export function sentence({
  proved,
  stopped,
  total,
  counts,
}: Pick<Report, 'proved' | 'stopped' | 'total' | 'counts'>): string {
  const run = counts.passed + counts.failed + counts.inconclusive + counts.notReachable;
  const end = stopped ? ` The proof was stopped after ${run} of ${total} cases.` : '';
  const unreached =
    counts.notReachable === 0 ? '' : ` ${count(counts.notReachable, 'case')} could not be asked over this link.`;
  if (counts.failed > 0) {
    return `The board does not do what its contract says: ${count(counts.failed, 'case')} failed.${unreached}${end}`;
  }
  if (proved) return `The board does what its contract says, as far as this link can ask.${unreached}`;
  return `Nothing failed so far, but the board is not proved.${unreached}${end}`;
}

/** One case with its place as a line and its octets in words. */
export function reportCase(one: CaseResult, table: Table, lines: LineIndex): ReportCase {
  const { id, family, about, verdict, bug, expected, seen, place, took } = one;
  const exchange = exchangeLines(one, table);
  return {
    id,
    family,
    about,
    verdict,
    bug,
    expected,
    seen,
    place: lines.position(place.start),
    range: place,
    took,
    exchange,
  };
}

function exchangeLines({ exchange, leftOut }: CaseResult, table: Table): readonly ExchangeLine[] {
  const start = exchange[0]?.at ?? 0;
  /** By connection: the request that the next response answers. */
  const asked = new Map<number, Bytes>();
  const out: ExchangeLine[] = [];
  for (const [i, crossing] of exchange.entries()) {
    if (leftOut?.before === i) {
      out.push({ kind: 'left-out', count: leftOut.count });
      asked.clear();
    }
    const at = us(crossing.at - start);
    if (crossing.kind === 'word') {
      out.push({ kind: 'word', at, by: crossing.by, about: crossing.text });
      continue;
    }
    const { from, connection, pdu } = crossing;
    const about = describePdu(pdu, table, from === 'board' ? asked.get(connection) : undefined);
    if (from === 'central') asked.set(connection, pdu);
    out.push({ kind: 'pdu', at, from, connection, hex: toHex(pdu), about });
  }
  return out;
}
