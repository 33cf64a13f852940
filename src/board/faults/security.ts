import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Need } from '../../contract/model.ts';
import type { Permissions, Row, Table } from '../../table/model.ts';
import type { Fault } from '../model.ts';
import { mapRows, mapValues, sent, withOctet } from './plant.ts';

// Faults in what a link must be before a value may be touched.

const open = (need: Need | undefined): Need | undefined => (need === undefined ? undefined : 'open');

function permissions(of: (row: Row) => boolean, change: (now: Permissions) => Permissions): (table: Table) => Table {
  return (table) => mapRows(table, (row) => (of(row) ? { ...row, permissions: change(row.permissions) } : row));
}

const isValue = (row: Row): boolean => row.content.kind === 'value';

export const securityFaults: readonly Fault[] = [
  {
    name: 'encryption-not-required',
    about: 'Values that need encryption can be read and written without.',
    symptom: 'Anybody in the room can change the calibration.',
    table: permissions(isValue, (now) => ({ ...now, read: open(now.read), write: open(now.write) })),
  },
  {
    name: 'only-reads-protected',
    about: 'Encryption is asked for reading, but not for writing.',
    symptom: 'The calibration cannot be seen by strangers, only changed.',
    table: permissions(isValue, (now) => ({ ...now, write: open(now.write) })),
  },
  {
    name: 'subscription-unprotected',
    about: 'A protected value can be subscribed to without encryption.',
    symptom: 'What may not be read can be listened to.',
    table: (table) =>
      mapValues(
        permissions(
          (row) => row.content.kind === 'cccd',
          (now) => ({ ...now, write: open(now.write) }),
        )(table),
        (definition) => ({
          ...definition,
          needs: { ...definition.needs, subscribe: 'open' },
        }),
      ),
  },
  {
    name: 'security-code-wrong',
    about: 'A link that lacks encryption is told that the access is not permitted at all.',
    symptom: 'The phone never offers to pair.',
    wrap: sent((pdu) => {
      const code = pdu[4];
      if (pdu[0] !== opcode.errorResponse || (code !== 0x05 && code !== 0x0f)) return [pdu];
      const isWrite = pdu[1] === opcode.writeRequest || pdu[1] === opcode.prepareWriteRequest;
      return [withOctet(pdu, 4, () => (isWrite ? attError.writeNotPermitted : attError.readNotPermitted))];
    }),
  },
  {
    name: 'encryption-never-enough',
    about: 'Protected values are refused on an encrypted link too.',
    symptom: 'Pairing works, and the calibration still cannot be read.',
    table: permissions(isValue, (now) => ({
      ...now,
      read: now.read === 'encrypted' ? 'authenticated' : now.read,
      write: now.write === 'encrypted' ? 'authenticated' : now.write,
    })),
  },
];
