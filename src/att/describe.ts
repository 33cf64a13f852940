import { readU16le, toHex, type Bytes } from '../base/bytes.ts';
import { unreachable } from '../base/bug.ts';
import { uuidFromBytes, type Uuid } from '../base/uuid.ts';
import { attErrorName } from '../numbers/att-errors.ts';
import { opcodeLabel } from '../numbers/att-opcodes.ts';
import { characteristics } from '../numbers/characteristics.ts';
import { attributeType, declarations, descriptors } from '../numbers/descriptors.ts';
import { propertyWords } from '../numbers/properties.ts';
import { services } from '../numbers/services.ts';
import type { Handle, Table } from '../table/model.ts';
import { showBytes } from '../values/show.ts';
import { hex16, hex8 } from './hexadecimal.ts';
import { decodePdu } from './pdu/decode.ts';
import { isResponse } from './pdu/kind.ts';
import type { AttPdu } from './pdu/model.ts';
import { indexOf } from './server/table-index.ts';

/**
 * A PDU in one line for people: `Read By Type Response: 0x0002 read, write, value at 0x0003, Device Name`.
 *
 * @param table names handles and shows values in their units
 * @param request the request that this PDU answers: a Read Response alone does not say whose value it is
 */
export function describePdu(bytes: Bytes, table?: Table, request?: Bytes): string {
  const pdu = decodePdu(bytes);
  if (pdu.kind === 'malformed') {
    return bytes.length === 0 ? pdu.why : `malformed PDU ${hexOf(bytes)}: ${pdu.why}`;
  }
  const asked = request === undefined || !isResponse(pdu) ? undefined : decodePdu(request);
  const about = contents(pdu, asked?.kind === 'malformed' ? undefined : asked, table);
  const label = opcodeLabel(bytes[0] ?? 0);
  return about === '' ? label : `${label}: ${about}`;
}

function contents(pdu: AttPdu, asked: AttPdu | undefined, table: Table | undefined): string {
  const at = (handle: Handle): string => describeHandle(handle, table);
  const valueAt = (handle: Handle | undefined, value: Bytes): string => describeValue(handle, value, table);
  const range = (start: Handle, end: Handle): string => `${hex16(start)} to ${hex16(end)}`;
  switch (pdu.kind) {
    case 'error-response': {
      const blamed = pdu.handle === 0 ? '' : ` at ${at(pdu.handle)}`;
      return `${opcodeLabel(pdu.request)}${blamed}: ${errorName(pdu.code)}`;
    }
    case 'exchange-mtu-request':
      return `client receives ${pdu.mtu} octets`;
    case 'exchange-mtu-response':
      return `server receives ${pdu.mtu} octets`;
    case 'find-information-request':
      return range(pdu.start, pdu.end);
    case 'find-information-response':
      return list(pdu.entries.map(({ handle, type }) => `${hex16(handle)} ${typeName(type)}`));
    case 'find-by-type-value-request':
      return `${typeName(pdu.type)} = ${declaredService(pdu.type, pdu.value) ?? hexOf(pdu.value)} in ${range(pdu.start, pdu.end)}`;
    case 'find-by-type-value-response':
      return list(pdu.found.map(({ handle, end }) => range(handle, end)));
    case 'read-by-type-request':
    case 'read-by-group-type-request':
      return `${typeName(pdu.type)} in ${range(pdu.start, pdu.end)}`;
    case 'read-by-type-response': {
      const type = asked?.kind === 'read-by-type-request' ? asked.type : undefined;
      return list(
        pdu.entries.map(({ handle, value }) => {
          const declared = type === undefined ? guessDeclaration(handle, value) : describeDeclaration(type, value);
          return declared === undefined ? `${at(handle)} ${valueAt(handle, value)}` : `${hex16(handle)} ${declared}`;
        }),
      );
    }
    case 'read-request':
      return at(pdu.handle);
    case 'read-response':
      return asked?.kind === 'read-request'
        ? `${at(asked.handle)} ${valueAt(asked.handle, pdu.value)}`
        : hexOf(pdu.value);
    case 'read-blob-request':
      return `${at(pdu.handle)} from octet ${pdu.offset}`;
    case 'read-blob-response': {
      const from = asked?.kind === 'read-blob-request' ? `${at(asked.handle)} from octet ${asked.offset}: ` : '';
      return from + hexOf(pdu.part);
    }
    case 'read-multiple-request':
    case 'read-multiple-variable-request':
      return list(pdu.handles.map(at));
    case 'read-multiple-response':
      return hexOf(pdu.values);
    case 'read-multiple-variable-response': {
      const handles = asked?.kind === 'read-multiple-variable-request' ? asked.handles : [];
      return list(
        pdu.items.map(({ length, value }, i) => {
          const cut = value.length < length ? ` (cut, ${length} octets in all)` : '';
          const handle = handles[i];
          const shown = valueAt(cut === '' ? handle : undefined, value);
          return `${handle === undefined ? '' : `${at(handle)} `}${shown}${cut}`;
        }),
      );
    }
    case 'read-by-group-type-response':
      return list(pdu.groups.map(({ handle, end, value }) => `${range(handle, end)} ${serviceName(value)}`));
    case 'write-request':
    case 'write-command':
    case 'handle-value-notification':
    case 'handle-value-indication':
      return `${at(pdu.handle)} ${valueAt(pdu.handle, pdu.value)}`;
    case 'signed-write-command':
      return `${at(pdu.handle)} ${valueAt(pdu.handle, pdu.value)}, signature ${hexOf(pdu.signature)}`;
    case 'prepare-write-request':
    case 'prepare-write-response':
      return `${at(pdu.handle)} from octet ${pdu.offset}: ${hexOf(pdu.part)}`;
    case 'execute-write-request':
      return pdu.write ? 'write' : 'cancel';
    case 'multiple-handle-value-notification':
      return list(pdu.items.map(({ handle, value }) => `${at(handle)} ${valueAt(handle, value)}`));
    case 'write-response':
    case 'execute-write-response':
    case 'handle-value-confirmation':
      return '';
    default:
      return unreachable(pdu);
  }
}

/** `0x0010`, and with a table what is there: `0x0010 (tank / paddle: value)`. */
export function describeHandle(handle: Handle, table?: Table): string {
  const row = table === undefined ? undefined : indexOf(table).byHandle.get(handle);
  return row === undefined ? hex16(handle) : `${hex16(handle)} (${row.about})`;
}

/** Octets in hex, and what they mean where the table says what is at the handle. */
function describeValue(handle: Handle | undefined, value: Bytes, table: Table | undefined): string {
  const row = table === undefined || handle === undefined ? undefined : indexOf(table).byHandle.get(handle);
  if (row === undefined || table === undefined) return hexOf(value);
  const declared = describeDeclaration(row.type, value);
  if (declared !== undefined) return declared;
  const definition = row.content.kind === 'value' ? table.values[row.content.index] : undefined;
  return definition === undefined ? hexOf(value) : `${hexOf(value)} = ${showBytes(definition.type, value)}`;
}

/** `Battery Level`, `Client Characteristic Configuration`, or the UUID itself. */
export function typeName(type: Uuid): string {
  return (declarations.byUuid(type) ?? descriptors.byUuid(type) ?? characteristics.byUuid(type))?.label ?? type;
}

/** What a declaration or configuration of this type says; `undefined` for other types. */
function describeDeclaration(type: Uuid, value: Bytes): string | undefined {
  switch (type) {
    case attributeType.primaryService:
    case attributeType.secondaryService:
      return serviceName(value);
    case attributeType.characteristic:
      return characteristic(value);
    case attributeType.include: {
      const start = readU16le(value, 0);
      const end = readU16le(value, 2);
      if (start === undefined || end === undefined) return undefined;
      const name = value.length === 6 ? ` ${serviceName(value.slice(4))}` : '';
      return `includes ${hex16(start)} to ${hex16(end)}${name}`;
    }
    case attributeType.clientConfiguration: {
      const bits = value.length === 2 ? readU16le(value, 0) : undefined;
      if (bits === undefined || bits > 3) return undefined;
      return `${hexOf(value)} = ${['off', 'notify', 'indicate', 'notify and indicate'][bits]}`;
    }
    default:
      return undefined;
  }
}

/** Without the request, what looks like a characteristic declaration is taken for one: its value follows at the next handle. */
function guessDeclaration(handle: Handle, value: Bytes): string | undefined {
  return readU16le(value, 1) === handle + 1 ? characteristic(value) : undefined;
}

function characteristic(value: Bytes): string | undefined {
  const uuid = uuidFromBytes(value.slice(3));
  const handle = readU16le(value, 1);
  if (uuid === undefined || handle === undefined) return undefined;
  const words = propertyWords(value[0] ?? 0).join(', ');
  return `${words === '' ? 'no properties' : words}, value at ${hex16(handle)}, ${typeName(uuid)}`;
}

function serviceName(value: Bytes): string {
  const uuid = uuidFromBytes(value);
  return uuid === undefined ? hexOf(value) : (services.byUuid(uuid)?.label ?? uuid);
}

function declaredService(type: Uuid, value: Bytes): string | undefined {
  const isService = type === attributeType.primaryService || type === attributeType.secondaryService;
  return isService ? serviceName(value) : undefined;
}

/** The name of an error with its number, which names of unassigned codes hold already. */
function errorName(code: number): string {
  const name = attErrorName(code);
  return name.endsWith(hex8(code)) ? name : `${name} (${hex8(code)})`;
}

function list(parts: readonly string[]): string {
  return parts.join('; ');
}

function hexOf(bytes: Bytes): string {
  return bytes.length === 0 ? 'no octets' : toHex(bytes, ' ');
}
