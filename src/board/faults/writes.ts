import { concat, equalBytes, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { property } from '../../numbers/properties.ts';
import type { Row, Table } from '../../table/model.ts';
import { parseConsoleLine } from '../console.ts';
import type { BoardEffect, Fault } from '../model.ts';
import {
  definitionAt,
  effects,
  handleIn,
  isWrite,
  mapConstants,
  mapRows,
  received,
  requestOf,
  sent,
  setValueIn,
  stateAfter,
  withOctet,
  type Wrap,
} from './plant.ts';

// Faults in what a write does, and in who may read and write.

/** The refusal of a client's write as it is sent, with another code. */
function otherCode(change: (code: number, table: Table, handle: number) => number): Wrap {
  return sent((pdu, { table }) => {
    if (pdu[0] !== opcode.errorResponse || pdu[1] !== opcode.writeRequest) return [pdu];
    return [withOctet(pdu, 4, (code) => change(code, table, (pdu[2] ?? 0) | ((pdu[3] ?? 0) << 8)))];
  });
}

/** Truth as it was before the client's write; the console tells nothing of it. */
const writeLost: Wrap = (inner, table) => {
  const kept = stateAfter(({ event, before, after }) => {
    const pdu = requestOf(event);
    const definition = pdu !== undefined && isWrite(pdu) ? definitionAt(table, handleIn(pdu)) : undefined;
    const old = definition === undefined ? undefined : before.server.values[definition.index];
    return definition === undefined || old === undefined ? after : setValueIn(after, definition.index, old);
  });
  const silent = effects((all, { event }) =>
    requestOf(event) === undefined ? all : all.filter((each) => !isAirTell(each)),
  );
  return silent(kept(inner, table), table);
};

function isAirTell(effect: BoardEffect): boolean {
  const line = effect.kind === 'print' ? parseConsoleLine(effect.line) : undefined;
  return line?.kind === 'tell' && line.cause === 'air';
}

/** A refused value is stored all the same. */
const storedThoughRefused = stateAfter(({ table, event, before, after }) => {
  const pdu = requestOf(event);
  const definition = pdu !== undefined && isWrite(pdu) ? definitionAt(table, handleIn(pdu)) : undefined;
  if (pdu === undefined || definition === undefined || !definition.access.includes('write')) return after;
  const value = pdu.slice(3);
  const old = before.server.values[definition.index];
  const now = after.server.values[definition.index];
  const unchanged = old !== undefined && now !== undefined && equalBytes(old, now);
  return unchanged && value.length <= definition.maxLength ? setValueIn(after, definition.index, value) : after;
});

/** Values that have a tail: a shorter one leaves the rest of the longer one behind. */
const tailKept: Wrap = stateAfter(({ table, event, before, after }) => {
  if (event.kind !== 'received') return after;
  return table.values.reduce((state, { index, minLength, maxLength }) => {
    const old = before.server.values[index];
    const now = after.server.values[index];
    if (old === undefined || now === undefined || minLength === maxLength || equalBytes(old, now)) return state;
    return old.length > now.length ? setValueIn(state, index, concat(now, old.subarray(now.length))) : state;
  }, after);
});

/** A text that is read whole has a zero octet behind it, as it lies in memory. */
const terminatorSent = sent((pdu, { table, event, after }, to) => {
  const request = requestOf(event);
  if (request?.[0] !== opcode.readRequest || pdu[0] !== opcode.readResponse) return [pdu];
  const isText = definitionAt(table, handleIn(request))?.type.kind === 'text';
  const room = (after.server.connections.get(to)?.mtu ?? 0) - pdu.length;
  return [isText && room > 0 ? concat(pdu, [0]) : pdu];
});

function valueRows(change: (row: Row) => Row['permissions']): (table: Table) => Table {
  return (table) =>
    mapRows(table, (row) => (row.content.kind === 'value' ? { ...row, permissions: change(row) } : row));
}

function properties(change: (bits: number) => number): (table: Table) => Table {
  const own = (table: Table): ReadonlySet<number> =>
    new Set(
      table.services.flatMap((service) =>
        service.characteristics.filter(({ index }) => index !== undefined).map(({ declaration }) => declaration),
      ),
    );
  return (table) => {
    const declarations = own(table);
    return mapConstants(table, '2803', (bytes: Bytes, row) =>
      declarations.has(row.handle) ? withOctet(bytes, 0, change) : bytes,
    );
  };
}

export const writeFaults: readonly Fault[] = [
  {
    name: 'refusal-code-wrong',
    about: 'A value outside its range is refused with Unlikely Error instead of the code of the contract.',
    symptom: 'The client cannot tell a wrong value from a broken board.',
    wrap: otherCode((code, table, handle) =>
      code === definitionAt(table, handle)?.refuseWith ? attError.unlikelyError : code,
    ),
  },
  {
    name: 'length-code-wrong',
    about: 'A write of the wrong length is refused as out of range.',
    symptom: 'The client reports a limit that the value does not break.',
    wrap: otherCode((code, table, handle) =>
      code === attError.invalidAttributeValueLength ? (definitionAt(table, handle)?.refuseWith ?? code) : code,
    ),
  },
  {
    name: 'write-without-effect',
    about: 'Writes are answered and change nothing.',
    symptom: 'The client says done, and the board goes on as before.',
    wrap: writeLost,
  },
  {
    name: 'refused-but-changed',
    about: 'The board stores a value first and checks it afterwards.',
    symptom: 'The client gets an error, and the value has changed all the same.',
    wrap: storedThoughRefused,
  },
  {
    name: 'old-tail-kept',
    about: 'A shorter text leaves the end of the longer one behind it.',
    symptom: '`hello` and then `no` reads as `nollo`.',
    wrap: tailKept,
  },
  {
    name: 'terminator-sent',
    about: 'Texts are sent with the zero octet that ends them in memory.',
    symptom: 'Comparisons fail for texts that look the same.',
    wrap: terminatorSent,
  },
  {
    name: 'command-answered',
    about: 'A Write Command gets a response like a Write Request.',
    symptom: 'The client takes the response for that of its next request and is one behind from then on.',
    wrap: effects((all, { event }) =>
      event.kind === 'received' && event.pdu[0] === opcode.writeCommand
        ? [...all, { kind: 'send', connection: event.connection, pdu: Uint8Array.of(opcode.writeResponse) }]
        : all,
    ),
  },
  {
    name: 'command-ignored',
    about: 'Write Commands are never carried out.',
    symptom: 'Writing without response does nothing, and nothing says so.',
    wrap: received((pdu) => (pdu[0] === opcode.writeCommand ? undefined : pdu)),
  },
  {
    name: 'read-only-writable',
    about: 'Values that only the board may change can be written by a client.',
    symptom: 'A measured value is what a client made it.',
    table: valueRows(({ permissions }) =>
      permissions.write === undefined
        ? { ...permissions, write: 'open', writeRequest: true, writeCommand: true }
        : permissions,
    ),
  },
  {
    name: 'write-only-readable',
    about: 'Values that may only be written can be read.',
    symptom: 'A secret that was set can be fetched by anybody.',
    table: valueRows(({ permissions }) =>
      permissions.read === undefined ? { ...permissions, read: 'open' } : permissions,
    ),
  },
  {
    name: 'read-promised-but-refused',
    about: 'The properties say that a value can be read, and reading it is refused.',
    symptom: 'The client offers a button that always fails.',
    table: valueRows(({ permissions }) => ({ ...permissions, read: undefined })),
  },
  {
    name: 'write-property-missing',
    about: 'The properties do not say that a value can be written, though it can.',
    symptom: 'Clients show the value and offer no way to change it.',
    table: properties((bits) => bits & ~property.write),
  },
  {
    name: 'notify-property-missing',
    about: 'The properties do not say that a value notifies, though it does.',
    symptom: 'Clients offer no subscription.',
    table: properties((bits) => bits & ~property.notify),
  },
];
