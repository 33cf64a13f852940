import { concat, noBytes, u16le, type Bytes } from '../../base/bytes.ts';
import { showTime, us, type Microseconds } from '../../base/quantity.ts';
import { encodePdu } from '../pdu/encode.ts';
import type {
  ConnectionId,
  HandleRange,
  QueuedIndication,
  ServerConnection,
  ServerEffect,
  ServerOptions,
  ServerState,
  ServerStep,
} from '../server-model.ts';
import { mayReceive } from './audience.ts';
import { union } from './caching.ts';
import { patchConnection, type Surroundings } from './context.ts';

/**
 * Puts an indication in the queue. A value waits there once however often it is published: the value in force when its
 * turn comes is sent. Service Changed goes first, and ranges that wait become one.
 */
export function enqueueIndication(state: ServerState, id: ConnectionId, what: QueuedIndication): ServerState {
  const queue = state.connections.get(id)?.indicationQueue ?? [];
  if (what.kind === 'service-changed') {
    const waiting = queue.find((other) => other.kind === 'service-changed');
    const others = queue.filter((other) => other.kind !== 'service-changed');
    return patchConnection(state, id, {
      indicationQueue: [{ kind: 'service-changed', ...union(waiting, what) }, ...others],
    });
  }
  if (queue.some((other) => other.kind === 'value' && other.index === what.index)) return state;
  return patchConnection(state, id, { indicationQueue: [...queue, what] });
}

/** Sends the first indication that may be sent now, unless one is still unconfirmed. Core Vol 3 Part F 3.3.3. */
export function sendNextIndication(around: Surroundings, state: ServerState, id: ConnectionId): ServerStep {
  const connection = state.connections.get(id);
  if (connection === undefined || connection.dead || connection.indicating !== undefined) return { state, effects: [] };
  const what = connection.indicationQueue.find(
    (waiting) => waiting.kind === 'service-changed' || mayReceive(around, connection, waiting.index),
  );
  if (what === undefined) return { state, effects: [] };
  const { handle, value } = content(around, state, what);
  const pdu = encodePdu({ kind: 'handle-value-indication', handle, value: value.subarray(0, connection.mtu - 3) });
  return {
    state: patchConnection(state, id, {
      indicating: { handle, since: around.at, what },
      indicationQueue: connection.indicationQueue.filter((waiting) => waiting !== what),
    }),
    effects: [{ kind: 'send', connection: id, pdu }],
  };
}

/** A confirmation came; one that nobody waits for is ignored. */
export function confirm(around: Surroundings, state: ServerState, id: ConnectionId): ServerStep {
  const connection = state.connections.get(id);
  const indicating = connection?.indicating;
  if (connection === undefined || indicating === undefined) return { state, effects: [] };
  const { what } = indicating;
  const knowsAll =
    what.kind === 'service-changed' &&
    !connection.indicationQueue.some((waiting) => waiting.kind === 'service-changed');
  const confirmed = patchConnection(state, id, {
    indicating: undefined,
    changeAware: knowsAll ? 'aware' : connection.changeAware,
  });
  const next = sendNextIndication(around, confirmed, id);
  const index = what.kind === 'value' ? what.index : undefined;
  return { state: next.state, effects: [{ kind: 'confirmed', connection: id, index }, ...next.effects] };
}

/** Gives up connections whose indication was not confirmed in time: nothing more may be sent on them. Core Vol 3 Part F 3.3.3. */
export function expireIndications(around: Surroundings, state: ServerState): ServerStep {
  let next = state;
  const effects: ServerEffect[] = [];
  for (const [id, connection] of state.connections) {
    const { indicating } = connection;
    if (indicating === undefined || connection.dead) continue;
    if (indicating.since + around.options.transactionTimeout > around.at) continue;
    next = patchConnection(next, id, { dead: true });
    const within = showTime(around.options.transactionTimeout);
    effects.push({ kind: 'close', connection: id, why: `an indication was not confirmed within ${within}` });
  }
  return { state: next, effects };
}

/** When the server needs a `time` event next; `undefined` while no indication waits for its confirmation. */
export function nextDeadline(options: ServerOptions, state: ServerState): Microseconds | undefined {
  let earliest: Microseconds | undefined;
  for (const { indicating, dead } of state.connections.values()) {
    if (indicating === undefined || dead) continue;
    const due = us(indicating.since + options.transactionTimeout);
    if (earliest === undefined || due < earliest) earliest = due;
  }
  return earliest;
}

/** What of a change the client has not confirmed to know: the range that waits and the one that is on its way. */
export function unconfirmedChange({ indicating, indicationQueue }: ServerConnection): HandleRange | undefined {
  const ranges = [indicating?.what, ...indicationQueue].filter((what) => what?.kind === 'service-changed');
  return ranges.reduce<HandleRange | undefined>((whole, range) => union(whole, range), undefined);
}

function content(
  { table, index }: Surroundings,
  state: ServerState,
  what: QueuedIndication,
): { readonly handle: number; readonly value: Bytes } {
  if (what.kind === 'service-changed') {
    return { handle: index.serviceChanged?.handle ?? 0, value: concat(u16le(what.start), u16le(what.end)) };
  }
  return { handle: table.values[what.index]?.handle ?? 0, value: state.values[what.index] ?? noBytes };
}
