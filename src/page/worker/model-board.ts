import type { Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { Fault } from '../../board/model.ts';
import { boardMs, subscriptionBits } from '../../board/view.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { inMemoryLink } from '../../links/in-memory.ts';
import type { Table } from '../../table/model.ts';
import { identity, keptPdus, type OpenSource } from './board-source.ts';
import type { ChosenRig } from './chosen-rig.ts';

export type ModelOptions = {
  readonly table: Table;
  /** The world behind it. */
  readonly world: ChosenRig;
  /** Planted in it. */
  readonly fault: Fault | undefined;
  readonly seed: number;
  readonly clock: Clock;
};

/** The model of a board: a reducer over the contract's table, reached in memory. */
export function modelBoard({ table, world, fault, seed, clock }: ModelOptions): OpenSource {
  return ({ onLine, onAdvertising, onCrossed }) => {
    const board = new VirtualBoard(table, { clock, rig: world.rig, seed, fault });
    board.onPrint(onLine);
    board.onAdvertising(onAdvertising);
    const link = inMemoryLink(board, {
      // A packet waits half an interval on average for the next connection event.
      latency: us(Math.floor(table.radio.connection.interval.min / 2)),
      client: { keep: keptPdus, onCrossed },
    });
    return {
      link,
      get advertising() {
        return board.advertising;
      },
      ms: () => boardMs(board.state, clock.now()),
      subscriptions: () => {
        const mine = [...board.state.server.connections].find(([, { peer }]) => peer === identity)?.[0];
        if (mine === undefined) return [];
        return table.values
          .map((value) => [value.index, subscriptionBits(board.state, value, mine)] as const)
          .filter(([, bits]) => bits !== 0);
      },
      rig: world.word,
      world: () => (world.word === 'wave-tank' ? board.state.rig : undefined),
      stop: () => {
        board.stop();
        void link.close();
      },
    };
  };
}
