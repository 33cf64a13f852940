import type { Cancel, Clock } from '../../base/clock.ts';
import { failure, type Link } from '../../att/link.ts';
import { parseConsoleLine } from '../../board/console.ts';
import { keepTime } from '../../ledger/keep-time.ts';
import type { Table } from '../../table/model.ts';
import type { OpenSource } from './board-source.ts';
import type { RemoteConsole } from './remote-console.ts';

/** A real board by its console alone: its truth on the panel, nothing on the air. */
export function serialBoard(table: Table, console: RemoteConsole, clock: Clock): OpenSource {
  return (events) => {
    let stamp = { ms: 0, at: clock.now() };
    let stopped = false;
    let quiet: Cancel = () => undefined;
    const link: Link = {
      name: 'console on a serial port',
      reaches: new Set(['console']),
      clock,
      advertisement: () => Promise.resolve(undefined),
      connect: () =>
        Promise.resolve(failure({ kind: 'not-reachable', about: 'only the console of this board is reached' })),
      console,
      close: () => Promise.resolve(),
    };
    const stop = console.onLine((line) => {
      if (stopped) return;
      const parsed = parseConsoleLine(line);
      if (parsed !== undefined && 'ms' in parsed) stamp = { ms: parsed.ms, at: clock.now() };
      events.onLine(line);
    });
    return {
      link,
      advertising: false,
      ms: () => Math.floor(stamp.ms + (clock.now() - stamp.at) / 1000),
      subscriptions: () => [],
      rig: 'default',
      world: () => undefined,
      begin: (observed) => {
        for (const { id } of table.values) observed.send(`get ${id}`);
        quiet = keepTime(observed, clock);
      },
      stop: () => {
        stopped = true;
        quiet();
        stop();
      },
    };
  };
}
