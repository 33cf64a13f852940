import { allCases, type ExchangeLine, type Report, type ReportCase } from './report.ts';

/** The proof as plain data. Keys end in their unit; lines and columns count from 1. */
export type ReportJson = {
  readonly board: string;
  readonly contract: string;
  readonly databaseHash: string;
  readonly link: string;
  readonly seed: number;
  readonly proved: boolean;
  readonly stopped: boolean;
  /** Cases that were asked for. */
  readonly total: number;
  readonly passed: number;
  readonly failed: number;
  readonly notReachable: number;
  readonly inconclusive: number;
  readonly cases: readonly CaseJson[];
};

export type CaseJson = {
  readonly id: string;
  readonly family: string;
  readonly verdict: string;
  readonly about: string;
  readonly expected: string;
  readonly seen: string;
  readonly place: { readonly line: number; readonly column: number };
  /** The case itself broke; there only when it did. */
  readonly bug?: true;
  readonly took_us: number;
  readonly exchange: readonly ExchangeJson[];
};

export type ExchangeJson =
  | {
      /** Since the case began. */
      readonly at_us: number;
      readonly from: 'central' | 'board';
      readonly connection: number;
      readonly pdu: string;
      readonly about: string;
    }
  /** What the board's console said or did, or what became of the link. */
  | { readonly at_us: number; readonly from: 'console' | 'link'; readonly about: string }
  /** So many entries are not told. */
  | { readonly leftOut: number };

export function reportJson(report: Report): ReportJson {
  const { counts } = report;
  return {
    board: report.board,
    contract: report.file,
    databaseHash: report.databaseHash,
    link: report.link,
    seed: report.seed,
    proved: report.proved,
    stopped: report.stopped,
    total: report.total,
    passed: counts.passed,
    failed: counts.failed,
    notReachable: counts.notReachable,
    inconclusive: counts.inconclusive,
    cases: allCases(report).map(caseJson),
  };
}

function caseJson(one: ReportCase): CaseJson {
  const { id, family, verdict, about, expected, seen, place, bug, took, exchange } = one;
  const { line, column } = place;
  return {
    id,
    family,
    verdict,
    about,
    expected,
    seen,
    place: { line, column },
    ...(bug ? { bug } : {}),
    took_us: took,
    exchange: exchange.map(exchangeJson),
  };
}

function exchangeJson(line: ExchangeLine): ExchangeJson {
  if (line.kind === 'left-out') return { leftOut: line.count };
  if (line.kind === 'word') return { at_us: line.at, from: line.by, about: line.about };
  const { at, from, connection, hex, about } = line;
  return { at_us: at, from, connection, pdu: hex, about };
}
