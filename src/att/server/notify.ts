import { noBytes, type Bytes } from '../../base/bytes.ts';
import { clientConfiguration, clientFeature } from '../../numbers/properties.ts';
import type { Handle } from '../../table/model.ts';
import { encodePdu } from '../pdu/encode.ts';
import type { ConnectionId, ServerConnection, ServerEffect, ServerState, ServerStep } from '../server-model.ts';
import { mayReceive } from './audience.ts';
import { configurationOf } from './cccd.ts';
import type { Surroundings } from './context.ts';
import { hasFeature } from './features.ts';
import { enqueueIndication, sendNextIndication } from './indicate.ts';

/**
 * Sends values to whoever subscribed. A client that set both bits of a CCCD is notified. A value longer than MTU - 3
 * octets is cut there, Core Vol 3 Part F 3.4.7.1. Several values go to a client with Multiple Handle Value Notifications
 * in one PDU as far as they fit uncut; each is there at most once.
 */
export function publish(around: Surroundings, state: ServerState, indices: readonly number[]): ServerStep {
  let next = state;
  const effects: ServerEffect[] = [];
  for (const id of state.connections.keys()) {
    const step = publishTo(around, next, id, indices);
    next = step.state;
    effects.push(...step.effects);
  }
  return { state: next, effects };
}

function publishTo(around: Surroundings, state: ServerState, id: ConnectionId, indices: readonly number[]): ServerStep {
  const connection = state.connections.get(id);
  if (connection === undefined || connection.dead) return { state, effects: [] };
  const notified: Item[] = [];
  let indicated = state;
  for (const index of new Set(indices)) {
    const definition = around.table.values[index];
    if (definition === undefined) continue;
    const bits = configurationOf(around.index, connection, definition.handle);
    if ((bits & clientConfiguration.notify) !== 0) {
      if (!mayReceive(around, connection, index)) continue;
      notified.push({ handle: definition.handle, value: state.values[index] ?? noBytes });
    } else if ((bits & clientConfiguration.indicate) !== 0) {
      indicated = enqueueIndication(indicated, id, { kind: 'value', index });
    }
  }
  const sent = notifications(connection, notified).map((pdu): ServerEffect => ({ kind: 'send', connection: id, pdu }));
  if (indicated === state) return { state, effects: sent };
  const step = sendNextIndication(around, indicated, id);
  return { state: step.state, effects: [...sent, ...step.effects] };
}

type Item = { readonly handle: Handle; readonly value: Bytes };

function notifications(connection: ServerConnection, items: readonly Item[]): readonly Bytes[] {
  if (items.length < 2 || !hasFeature(connection.clientFeatures, clientFeature.multipleNotifications)) {
    return items.map((item) => notification(connection, item));
  }
  const pdus: Bytes[] = [];
  let together: Item[] = [];
  let room = connection.mtu - 1;
  const flush = (): void => {
    const [only] = together;
    if (together.length > 1) pdus.push(encodePdu({ kind: 'multiple-handle-value-notification', items: together }));
    else if (only !== undefined) pdus.push(notification(connection, only));
    together = [];
    room = connection.mtu - 1;
  };
  for (const item of items) {
    const size = 4 + item.value.length;
    if (size > room) flush();
    together.push(item);
    room -= size;
  }
  flush();
  return pdus;
}

function notification(connection: ServerConnection, { handle, value }: Item): Bytes {
  return encodePdu({ kind: 'handle-value-notification', handle, value: value.subarray(0, connection.mtu - 3) });
}
