import { VirtualBoard } from '../board/virtual-board.ts';
import type { Fault } from '../board/model.ts';
import { Peripheral } from '../hci/host/peripheral.ts';
import type { Table } from '../table/model.ts';
import type { HostedBoard, HostedBoardOptions, MakeBoard } from './hosted-board.ts';

/** A random static address, Core Vol 6 Part B 1.3.2.1: its top bits are set. */
const boardAddress = 'c0:67:61:74:74:00';

/** The virtual board behind a controller: the reducer of `board/`, with the host of `hci/host/` below it. */
export function virtualHostedBoard(
  table: Table,
  { clock, rig, seed, fault }: HostedBoardOptions & { readonly fault?: Fault | undefined },
): HostedBoard {
  const board = new VirtualBoard(table, { clock, rig, seed, fault });
  let host: Peripheral | undefined;
  return {
    name: 'virtual board',
    console: {
      send: (line) => {
        clock.schedule(clock.now(), () => {
          board.type(line);
        });
      },
      onLine: (listener) => board.onPrint(listener),
    },
    start: (controller) => {
      // A planted fault may have changed the table that the board works from.
      host = new Peripheral(controller, clock, board, board.table, { address: boardAddress });
      board.start();
      host.start();
    },
    stop: () => {
      host?.stop();
      board.stop();
    },
  };
}

export const makeBoard: MakeBoard = (table, options) =>
  Promise.resolve({ ok: true, board: virtualHostedBoard(table, options) });
