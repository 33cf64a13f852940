import { us } from '../../base/quantity.ts';
import type { Clock } from '../../base/clock.ts';
import type { Link } from '../../att/link.ts';
import type { Observation } from '../../ledger/observation.ts';
import { observeConnection } from '../../ledger/observe.ts';
import type { Table } from '../../table/model.ts';
import type { OpenSource } from './board-source.ts';

/**
 * The same board with an ear on it: whatever its console prints from power-up on and whatever crosses is observed.
 *
 * @param onObserved called for each observation; times count from now
 */
export function observedSource(
  open: OpenSource,
  table: Table,
  clock: Clock,
  onObserved: (observation: Observation) => void,
): OpenSource {
  return (events) => {
    const start = clock.now();
    let last = us(0);
    let connections = 0;
    const now = (): typeof last => (last = us(Math.max(last, clock.now() - start)));
    const source = open({
      ...events,
      onLine: (line) => {
        onObserved({ kind: 'printed', at: now(), line });
        events.onLine(line);
      },
      onCrossed: (crossed) => {
        const { from, pdu } = crossed;
        onObserved({ kind: 'packet', at: now(), connection: Math.max(1, connections), from, pdu });
        events.onCrossed(crossed);
      },
    });
    const { link: inner } = source;
    const { console } = inner;
    const link: Link = {
      name: inner.name,
      reaches: inner.reaches,
      clock: inner.clock,
      advertisement: () => inner.advertisement(),
      close: () => inner.close(),
      console: console && {
        send: (line) => {
          onObserved({ kind: 'typed', at: now(), line });
          console.send(line);
        },
        onLine: (listener) => console.onLine(listener),
      },
      connect: async (identity) => {
        const outcome = await inner.connect(identity);
        if (!outcome.ok) return outcome;
        connections += 1;
        return { ok: true, value: observeConnection(outcome.value, table, connections, now, onObserved) };
      },
    };
    if (link.console !== undefined) source.begin?.(link.console);
    return {
      link,
      get advertising() {
        return source.advertising;
      },
      ms: () => source.ms(),
      subscriptions: () => source.subscriptions(),
      rig: source.rig,
      world: () => source.world(),
      stop: () => {
        source.stop();
      },
    };
  };
}
