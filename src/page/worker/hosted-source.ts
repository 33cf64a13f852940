import type { Clock } from '../../base/clock.ts';
import { parseConsoleLine, type ConsoleNote } from '../../board/console.ts';
import type { HostedBoard } from '../../links/hosted-board.ts';
import { virtualRadio } from '../../links/virtual-radio.ts';
import type { Table } from '../../table/model.ts';
import { keptPdus, type BoardSource, type OpenSource } from './board-source.ts';

export type HostedOptions = Pick<BoardSource, 'rig' | 'world'> & {
  readonly table: Table;
  readonly board: HostedBoard;
  readonly clock: Clock;
  readonly seed: number;
};

/** CCCD bits. */
const bitsOf = { off: 0, notify: 1, indicate: 2, both: 3 } as const;

/**
 * A board with a host of its own, across the virtual radio from the page's central: packets wait for their connection
 * events, advertising is heard. What the board does is known from its console only, as with any board.
 */
export function hostedSource({ table, board, clock, seed, rig, world }: HostedOptions): OpenSource {
  return ({ onLine, onAdvertising, onCrossed }) => {
    const startedAt = clock.now();
    const indexById = new Map(table.values.map(({ id, index }) => [id, index]));
    const subscribed = new Map<number, number>();
    let advertising = false;
    const follow = (note: ConsoleNote): void => {
      if (note.kind === 'advertising') {
        advertising = note.on;
        onAdvertising();
      } else if (note.kind === 'subscribed') {
        const index = indexById.get(note.id);
        if (index !== undefined) subscribed.set(index, bitsOf[note.mode]);
      } else if (note.kind === 'connected' || note.kind === 'disconnected') subscribed.clear();
    };
    board.console?.onLine((line) => {
      onLine(line);
      const parsed = parseConsoleLine(line);
      if (parsed?.kind === 'note') follow(parsed.event);
    });
    const link = virtualRadio(table, board, { clock, seed, client: { keep: keptPdus, onCrossed } });
    return {
      link,
      get advertising() {
        return advertising;
      },
      ms: () => Math.floor((clock.now() - startedAt) / 1000),
      subscriptions: () => [...subscribed].filter(([, bits]) => bits !== 0),
      rig,
      world,
      stop: () => {
        void Promise.resolve(board.stop()).then(() => link.close());
      },
    };
  };
}
