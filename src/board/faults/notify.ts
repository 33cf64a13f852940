import { concat, equalBytes, noBytes, readU16le, u16le, type Bytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import type { ConnectionId } from '../../att/server-model.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { NotifyPolicy } from '../../contract/model.ts';
import type { Handle, Table, ValueDefinition } from '../../table/model.ts';
import type { BoardEffect, BoardEvent, BoardState, Fault } from '../model.ts';
import {
  definitionAt,
  effects,
  handleIn,
  handlePdu,
  mapRows,
  mapValues,
  patchConnections,
  remembering,
  requestOf,
  rowAt,
  sent,
  stateAfter,
  type Around,
} from './plant.ts';

// Faults in notifications, indications and subscriptions.

function policies(change: (policy: NotifyPolicy) => NotifyPolicy): (table: Table) => Table {
  return (table) =>
    mapValues(table, (definition) =>
      definition.notify === undefined ? definition : { ...definition, notify: change(definition.notify) },
    );
}

function isValuePdu(pdu: Bytes): boolean {
  return pdu[0] === opcode.handleValueNotification || pdu[0] === opcode.handleValueIndication;
}

/** The CCCD that this event writes, and the bits. */
function cccdWrite(event: BoardEvent, table: Table): { readonly handle: Handle; readonly bits: number } | undefined {
  const pdu = requestOf(event);
  if (pdu?.[0] !== opcode.writeRequest || pdu.length !== 5) return undefined;
  const handle = handleIn(pdu);
  return rowAt(table, handle)?.content.kind === 'cccd' ? { handle, bits: readU16le(pdu, 3) ?? 0 } : undefined;
}

function notificationOf(definition: ValueDefinition, state: BoardState, to: ConnectionId): BoardEffect {
  const room = (state.server.connections.get(to)?.mtu ?? 23) - 3;
  const value = (state.server.values[definition.index] ?? noBytes).subarray(0, room);
  return { kind: 'send', connection: to, pdu: handlePdu(opcode.handleValueNotification, definition.handle, value) };
}

/** The value of the characteristic whose CCCD is at `handle`. */
function subscribedValue(table: Table, handle: Handle): ValueDefinition | undefined {
  return table.values.find(({ cccd }) => cccd === handle);
}

/** Values that changed in this step. */
function changed({ table, before, after }: Around): readonly ValueDefinition[] {
  return table.values.filter(({ index }) => {
    const old = before.server.values[index];
    const now = after.server.values[index];
    return old !== undefined && now !== undefined && !equalBytes(old, now);
  });
}

export const notifyFaults: readonly Fault[] = [
  {
    name: 'notified-after-unsubscribing',
    about: 'Unsubscribing is answered and forgotten: the values go on coming.',
    symptom: 'The strip chart runs on after it was switched off.',
    wrap: stateAfter(({ table, event, before, after }) => {
      const write = cccdWrite(event, table);
      if (write?.bits !== 0 || event.kind !== 'received') return after;
      const old = before.server.connections.get(event.connection)?.cccds.get(write.handle);
      return patchConnections(after, (each, id) =>
        id === event.connection && old !== undefined
          ? { ...each, cccds: new Map([...each.cccds, [write.handle, old]]) }
          : each,
      );
    }),
  },
  {
    name: 'subscription-outlives-connection',
    about: 'A new connection finds the subscriptions of the last one, though nobody is bonded.',
    symptom: 'A fresh client gets values that it never asked for.',
    wrap: remembering<ReadonlyMap<Handle, number>>(new Map(), (inner, memory, [state, event, at]) => {
      const step = inner.step(state, event, at);
      if (event.kind === 'disconnected') {
        return { step, memory: state.server.connections.get(event.connection)?.cccds ?? memory };
      }
      if (event.kind !== 'connected') return { step, memory };
      const restored = patchConnections(step.state, (each, id) =>
        id === event.connection ? { ...each, cccds: memory } : each,
      );
      return { step: { ...step, state: restored }, memory };
    }),
  },
  {
    name: 'subscription-shared',
    about: 'There is one CCCD for all connections.',
    symptom: 'When one client unsubscribes, the other gets nothing either.',
    wrap: stateAfter(({ table, event, after }) => {
      const write = cccdWrite(event, table);
      if (write === undefined || event.kind !== 'received') return after;
      const cccds = after.server.connections.get(event.connection)?.cccds;
      return patchConnections(after, (each) => ({ ...each, cccds: cccds ?? each.cccds }));
    }),
  },
  {
    name: 'notified-before-answer',
    about: 'The first notification comes before the answer to the subscription.',
    symptom: 'The client drops the first value, because it is not ready for it.',
    wrap: effects((all, { table, event, after }) => {
      const write = cccdWrite(event, table);
      const definition = write?.bits === 1 ? subscribedValue(table, write.handle) : undefined;
      if (definition === undefined || event.kind !== 'received') return all;
      return [notificationOf(definition, after, event.connection), ...all];
    }),
  },
  {
    name: 'change-not-notified',
    about: 'A change of a value is not notified.',
    symptom: 'The panel shows an old value until somebody reads.',
    wrap: sent((pdu, { table }) =>
      pdu[0] === opcode.handleValueNotification && definitionAt(table, handleIn(pdu))?.notify?.on.kind === 'change'
        ? []
        : [pdu],
    ),
  },
  {
    name: 'never-indicated',
    about: 'Values that a client subscribed to with indications are never sent.',
    symptom: 'The alarm stays silent.',
    table: (table) =>
      mapValues(table, (definition) => {
        if (definition.access.includes('notify') || definition.notify === undefined) return definition;
        return { ...definition, notify: undefined };
      }),
  },
  {
    name: 'notified-unasked',
    about: 'Changes are notified to every client, subscribed or not.',
    symptom: 'Values arrive that nobody asked for, and the radio is busy with them.',
    wrap: effects((all, around) => {
      const extra = changed(around)
        .filter(({ access }) => access.includes('notify'))
        .flatMap((definition) =>
          [...around.after.server.connections]
            .filter(([, { cccds }]) => definition.cccd !== undefined && !cccds.has(definition.cccd))
            .map(([id]) => notificationOf(definition, around.after, id)),
        );
      return [...all, ...extra];
    }),
  },
  {
    name: 'rate-bound-ignored',
    about: 'Every change is notified at once, however fast they come.',
    symptom: 'The connection is full of one value, and the others come late.',
    table: policies((policy) => ({ ...policy, minSpacing: undefined })),
  },
  {
    name: 'period-doubled',
    about: 'Periodic values come half as often as the contract says.',
    symptom: 'The trace is coarse, and fast movements are missed.',
    table: policies((policy) =>
      policy.on.kind === 'every' ? { ...policy, on: { kind: 'every', period: us(2 * policy.on.period) } } : policy,
    ),
  },
  {
    name: 'notification-one-behind',
    about: 'Each notification carries the value of the one before.',
    symptom: 'The display is always one step late.',
    wrap: remembering<ReadonlyMap<Handle, Bytes>>(new Map(), (inner, memory, [state, event, at]) => {
      const step = inner.step(state, event, at);
      const last = new Map(memory);
      const all = step.effects.map((effect): BoardEffect => {
        if (effect.kind !== 'send' || effect.pdu[0] !== opcode.handleValueNotification) return effect;
        const handle = handleIn(effect.pdu);
        const value = effect.pdu.slice(3);
        const older = memory.get(handle) ?? value;
        last.set(handle, value);
        return { ...effect, pdu: handlePdu(opcode.handleValueNotification, handle, older) };
      });
      return { step: { ...step, effects: all }, memory: last };
    }),
  },
  {
    name: 'value-torn',
    about: 'A value that changes while it is sent goes out half new and half old.',
    symptom: 'Now and then a value comes that never was.',
    wrap: sent((pdu, { table, before, after }) => {
      const definition = isValuePdu(pdu) ? definitionAt(table, handleIn(pdu)) : undefined;
      const old = definition === undefined ? undefined : before.server.values[definition.index];
      const now = definition === undefined ? undefined : after.server.values[definition.index];
      if (old === undefined || now === undefined || old.length < 2 || equalBytes(old, now)) return [pdu];
      const half = 3 + (now.length >> 1);
      return [concat(pdu.subarray(0, half), old.subarray(half - 3, pdu.length - 3))];
    }),
  },
  {
    name: 'notification-beyond-mtu',
    about: 'Notifications carry the whole value, however small the MTU is.',
    symptom: 'Long notes never arrive, short ones do.',
    wrap: sent((pdu, { table, after }) => {
      const definition = isValuePdu(pdu) ? definitionAt(table, handleIn(pdu)) : undefined;
      const value = definition === undefined ? undefined : after.server.values[definition.index];
      return [value !== undefined && value.length > pdu.length - 3 ? concat(pdu.subarray(0, 3), value) : pdu];
    }),
  },
  {
    name: 'confirmation-not-awaited',
    about: 'The next indication is sent before the last one was confirmed.',
    symptom: 'Clients lose indications or end the link.',
    wrap: stateAfter(({ after }) => patchConnections(after, (each) => ({ ...each, indicating: undefined }))),
  },
  {
    name: 'indicated-as-notification',
    about: 'Subscribers to indications are notified instead.',
    symptom: 'Nothing tells the board whether its alarm has arrived.',
    wrap: (inner, table) => {
      const other = sent((pdu) => [
        pdu[0] === opcode.handleValueIndication ? concat([opcode.handleValueNotification], pdu.subarray(1)) : pdu,
      ]);
      const released = stateAfter(({ after }) =>
        patchConnections(after, (each) => ({ ...each, indicating: undefined })),
      );
      return other(released(inner, table), table);
    },
  },
  {
    name: 'subscription-bits-unchecked',
    about: 'A client may subscribe to notifications or indications that the value does not have.',
    symptom: 'The client waits for values that will never come.',
    table: (table) =>
      mapRows(table, (row) =>
        row.content.kind === 'cccd' ? { ...row, content: { ...row.content, allowed: 3 } } : row,
      ),
  },
  {
    name: 'subscription-reads-off',
    about: 'Reading a CCCD always gives 0.',
    symptom: 'A client that looks before it subscribes subscribes again and again.',
    wrap: sent((pdu, { table, event }) => {
      const request = requestOf(event);
      const isCccd = request?.[0] === opcode.readRequest && rowAt(table, handleIn(request))?.content.kind === 'cccd';
      return [isCccd && pdu[0] === opcode.readResponse ? concat([opcode.readResponse], u16le(0)) : pdu];
    }),
  },
];
