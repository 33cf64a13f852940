import { existsSync, readFileSync, statSync } from 'node:fs';
import { VirtualClock } from '../base/clock.ts';
import type { Link } from '../att/link.ts';
import type { Fault, Rig } from '../board/model.ts';
import { VirtualBoard } from '../board/virtual-board.ts';
import { boardKinds } from '../links/boards.ts';
import { captureFile, type CaptureFile } from '../links/capture-file.ts';
import type { HostedBoard, HostedBoardOptions } from '../links/hosted-board.ts';
import { inMemoryLink } from '../links/in-memory.ts';
import { virtualHostedBoard } from '../links/virtual-hosted-board.ts';
import { virtualRadio } from '../links/virtual-radio.ts';
import type { Table } from '../table/model.ts';
import { CannotRun } from './cannot-run.ts';
import { cannotWrite } from './cannot-write.ts';
import type { Input } from './command.ts';
import { version } from './version.ts';

export type Bench = { readonly link: Link; close(): Promise<void> };

export type BenchOptions = {
  readonly input: Input;
  readonly rig: Rig<unknown>;
  readonly seed: number;
  readonly fault: Fault | undefined;
};

/**
 * The board that `--board` names, over the virtual radio; without it the virtual board in memory. On virtual time.
 *
 * @throws CannotRun when there is no such board here, or a fault cannot be planted in it
 */
export async function openBench(table: Table, { input, rig, seed, fault }: BenchOptions): Promise<Bench> {
  const clock = new VirtualClock();
  const kind = input.option('board');
  if (kind === undefined) {
    const board = new VirtualBoard(table, { clock, rig, seed, fault });
    const link = inMemoryLink(board);
    return {
      link,
      close: async () => {
        await link.close();
        board.stop();
      },
    };
  }
  if (fault !== undefined && kind !== 'virtual') {
    throw new CannotRun('faults are planted in the virtual board', 'add `--board virtual`, or leave --fault out');
  }
  const board =
    kind === 'virtual'
      ? virtualHostedBoard(table, { clock, rig, seed, fault })
      : await openBoard(kind, table, { clock, rig, seed });
  const file = openCapture(input);
  const link = virtualRadio(table, board, { clock, seed, loss: lossOf(input), record: file?.writer });
  return {
    link,
    close: async () => {
      await link.close();
      await board.stop();
      file?.close();
    },
  };
}

/** @throws CannotRun when there is no such board here */
export async function openBoard(kind: string, table: Table, options: HostedBoardOptions): Promise<HostedBoard> {
  const entry = boardKinds.find(({ name }) => name === kind);
  if (entry === undefined) throw new CannotRun(`there is no board \`${kind}\``);
  const made = await (await entry.load()).makeBoard(table, options);
  if (!made.ok) throw new CannotRun(made.why, made.remedy);
  return made.board;
}

/** A capture that is there already is replaced. @throws CannotRun when another file stands there, or it cannot be written */
export function openCapture(input: Input): CaptureFile | undefined {
  const path = input.option('record');
  if (path === undefined) return undefined;
  if (existsSync(path) && statSync(path).size > 0 && !isCapture(path)) {
    throw new CannotRun(`${path} is no capture and stays as it is`, 'name another file');
  }
  try {
    return captureFile(path, `Gattwright ${version}`);
  } catch (error) {
    throw cannotWrite(path, error);
  }
}

/** Whether a file begins as a pcapng file does. */
function isCapture(path: string): boolean {
  return readFileSync(path).subarray(0, 4).toString('hex') === '0a0d0d0a';
}

/** The chance that a packet is lost. @throws CannotRun for all of them */
export function lossOf(input: Input): number {
  const loss = Number(input.option('loss') ?? '0');
  if (loss >= 1000) throw new CannotRun(`--loss is ${loss} of 1000: nothing would arrive`, 'name a number below 1000');
  return loss / 1000;
}
