import type { Microseconds } from '../base/quantity.ts';
import type { Table } from '../table/model.ts';
import { connectionOf, type Connection } from './air/connection.ts';
import { airTimes, procedureBasis, procedureCosts, type AirTimes, type ProcedureCost } from './air/procedures.ts';
import { throughput, type Throughput } from './air/throughput.ts';
import type { Basis } from './basis.ts';
import { delays, type Delays } from './delay/delays.ts';
import { energy, energyBasis, type Energy } from './energy/energy.ts';
import { inventedSupply, type Supply } from './energy/supply.ts';
import { found, foundBasis, type Found } from './found/found.ts';
import { advertiserOf, scanPatterns, type Advertiser, type ScanPattern } from './found/scan.ts';
import { parametersOf, radioProblems, type RadioProblem } from './limits/connection-limits.ts';
import { linkReport, type LinkReport } from './link/link-report.ts';
import { linkUse } from './link/link-use.ts';
import { streamsOf, type Stream } from './link/stream.ts';
import { memoryOf, type Memory } from './memory/memory.ts';
import { numbersOf, type Numbers } from './numbers/numbers.ts';
import { planRoom, type RoomPlan } from './room/plan.ts';
import { room, type Room } from './room/room.ts';

/** What a budget is asked about beside the contract: what no contract can say. */
export type BudgetQuestion = {
  /** Chance that one packet is lost, 0..0.9. */
  readonly packetErrorRate: number;
  readonly encrypted: boolean;
  /** Packet pairs that the central allows in one event; `undefined`: as many as there is time for. */
  readonly mostPairs: number | undefined;
  readonly supply: Supply;
  /** How the scanners listen that the board is to be found by. */
  readonly patterns: readonly ScanPattern[];
  readonly room: {
    /** Boards that advertise at once, and boards that are connected. */
    readonly advertising: number;
    readonly connected: number;
    /** How each board's own client listens. */
    readonly scan: ScanPattern;
    /** The room works while an advertising packet meets no other with at least this chance… */
    readonly survival: number;
    /** …and a connection event meets another with at most this. */
    readonly collision: number;
    /** Room time that a run is to last beside those that figures need; `undefined`: none. */
    readonly time: Microseconds | undefined;
    /** The board's name with `{unit}`, for the plan. */
    readonly nameTemplate: string;
  };
  /** All chance comes from it. */
  readonly seed: number;
};

/** A budget's question as it stands until somebody asks otherwise: no losses, a class of thirty, invented figures. */
export function defaultQuestion(table: Table, nameTemplate = table.board.name): BudgetQuestion {
  const [scan] = scanPatterns;
  return {
    packetErrorRate: 0,
    encrypted: needsEncryption(table),
    mostPairs: undefined,
    supply: inventedSupply,
    patterns: scanPatterns,
    room: {
      advertising: 30,
      connected: 30,
      scan,
      survival: 0.8,
      collision: 0.1,
      time: undefined,
      nameTemplate,
    },
    seed: 1,
  };
}

/** Whether any value of the contract asks for an encrypted link, on which every packet then carries a MIC. */
export function needsEncryption(table: Table): boolean {
  return table.values.some(({ needs, access }) => {
    const { read, write, subscribe } = needs;
    const isRead = access.includes('read') && read !== 'open';
    const isWritten = (access.includes('write') || access.includes('write-without-response')) && write !== 'open';
    return isRead || isWritten || (access.includes('notify') && subscribe !== 'open');
  });
}

/** What all parts reckon with. */
export type Setting = {
  readonly table: Table;
  readonly question: BudgetQuestion;
  readonly connection: Connection;
  readonly streams: readonly Stream[];
  readonly advertiser: Advertiser;
};

export function settingOf(table: Table, question: BudgetQuestion): Setting {
  const { packetErrorRate, encrypted, mostPairs } = question;
  const connection = connectionOf(table.radio, {
    packetErrorRate,
    encrypted,
    ...(mostPairs === undefined ? {} : { mostPairs }),
  });
  return { table, question, connection, streams: streamsOf(table, connection), advertiser: advertiserOf(table) };
}

/** What a contract costs, part by part; plain data. Times in µs, currents in µA. */
export type Budget = {
  readonly question: BudgetQuestion;
  readonly connection: Connection;
  /** Parameters that no controller takes; empty for a contract without errors. */
  readonly problems: readonly RadioProblem[];
  readonly air: {
    readonly times: readonly AirTimes[];
    readonly procedures: readonly ProcedureCost[];
    readonly basis: Basis;
  };
  readonly throughput: Throughput;
  readonly link: LinkReport;
  readonly delay: Delays;
  readonly found: { readonly patterns: readonly Found[]; readonly basis: Basis };
  readonly room: Room & { readonly plan: RoomPlan };
  readonly energy: { readonly advertising: Energy; readonly connected: Energy; readonly basis: Basis };
  readonly memory: Memory;
  readonly numbers: Numbers;
};

/** Each part by itself, so that a page can reckon those that are looked at. */
export const budgetParts: {
  readonly [Part in Exclude<keyof Budget, 'question' | 'connection'>]: (setting: Setting) => Budget[Part];
} = {
  problems: ({ table, question }) => radioProblems(parametersOf(table.radio, question.packetErrorRate)),
  air: ({ table, connection }) => ({
    times: airTimes(),
    procedures: procedureCosts(table, connection),
    basis: procedureBasis,
  }),
  throughput: ({ connection, question }) => throughput(connection, question.seed),
  link: ({ connection, streams, question }) => linkReport(connection, streams, question.seed),
  delay: ({ table, connection, streams, question }) => delays(table, connection, streams, { seed: question.seed }),
  found: ({ advertiser, question }) => ({
    patterns: question.patterns.map((pattern) => found(advertiser, pattern, { trials: 500, seed: question.seed })),
    basis: foundBasis,
  }),
  room: ({ table, advertiser, connection, streams, question }) => ({
    ...room(
      advertiser,
      { interval: connection.interval, busy: linkUse(connection, streams).busy * connection.interval },
      { ...question.room, seed: question.seed },
    ),
    plan: planRoom({
      boards: question.room.advertising,
      advertiser,
      connectionInterval: table.radio.connection.interval,
      nameTemplate: question.room.nameTemplate,
      survival: question.room.survival,
    }),
  }),
  energy: ({ advertiser, connection, streams, question }) => ({
    advertising: energy({ kind: 'advertising', advertiser }, question.supply),
    connected: energy({ kind: 'connected', connection, streams }, question.supply),
    basis: energyBasis,
  }),
  memory: ({ table }) => memoryOf(table),
  numbers: ({ table }) => numbersOf(table),
};

export type BudgetPart = keyof typeof budgetParts;

/** A part by itself, with its name. */
export type BudgetResult = {
  readonly [Part in BudgetPart]: { readonly part: Part; readonly value: Budget[Part] };
}[BudgetPart];

export function budgetPart(part: BudgetPart, setting: Setting): BudgetResult {
  return { part, value: budgetParts[part](setting) } as BudgetResult;
}

/** A whole budget. Each part is reckoned when it is first looked at: who wants one waits for one. */
export function budgetOf(table: Table, question: BudgetQuestion): Budget {
  const setting = settingOf(table, question);
  const budget = { question, connection: setting.connection };
  for (const part of Object.keys(budgetParts) as BudgetPart[]) {
    let known: Budget[BudgetPart] | undefined;
    Object.defineProperty(budget, part, { enumerable: true, get: () => (known ??= budgetParts[part](setting)) });
  }
  return budget as Budget;
}
