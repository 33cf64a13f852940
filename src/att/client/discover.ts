import { readU16le, type Bytes } from '../../base/bytes.ts';
import { uuidFromBytes, type Uuid } from '../../base/uuid.ts';
import { attError } from '../../numbers/att-errors.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Handle } from '../../table/model.ts';
import { hex16 } from '../hexadecimal.ts';
import { success, type RemoteCharacteristic, type RemoteDescriptor, type RemoteService } from '../link.ts';
import type { AttResponse } from '../pdu/model.ts';
import { broken, unusable, type Procedure } from './procedure.ts';

/**
 * The whole database of a server, Core Vol 3 Part G 4.4 to 4.7. Every list is asked for from behind the last handle
 * seen, and handles must ascend within the range asked for: a server that repeats itself cannot keep a client forever.
 */
export function* discoverAll(): Procedure<readonly RemoteService[]> {
  const primary = yield* services(attributeType.primaryService);
  if (!primary.ok) return primary;
  const secondary = yield* services(attributeType.secondaryService);
  if (!secondary.ok) return secondary;
  const ranges = [...primary.value, ...secondary.value].sort((a, b) => a.start - b.start);
  const found: RemoteService[] = [];
  let last = 0;
  for (const range of ranges) {
    if (range.start <= last) return broken(`services overlap at handle ${hex16(range.start)}`);
    last = range.end;
    const includes = yield* includesOf(range);
    if (!includes.ok) return includes;
    const characteristics = yield* characteristicsOf(range);
    if (!characteristics.ok) return characteristics;
    found.push({ ...range, includes: includes.value, characteristics: characteristics.value });
  }
  return success(found);
}

type ServiceRange = {
  readonly uuid: Uuid;
  readonly secondary: boolean;
  readonly start: Handle;
  readonly end: Handle;
};

const lastHandle = 0xffff;

/** Discover All Primary Services, Core Vol 3 Part G 4.4.1; secondary ones in the same way. */
export function* services(type: Uuid): Procedure<readonly ServiceRange[]> {
  const secondary = type === attributeType.secondaryService;
  const found: ServiceRange[] = [];
  let start = 1;
  while (start <= lastHandle) {
    const answer = yield { kind: 'read-by-group-type-request', start, end: lastHandle, type };
    if (isEnd(answer) || (secondary && isUnsupportedGroup(answer))) break;
    if (answer.kind !== 'read-by-group-type-response') return unusable(answer);
    for (const group of answer.groups) {
      if (group.handle < start || group.end < group.handle) {
        return broken(
          `a service from ${hex16(group.handle)} to ${hex16(group.end)} came where ${hex16(start)} or more was due`,
        );
      }
      const uuid = uuidFromBytes(group.value);
      if (uuid === undefined)
        return broken(`the service at ${hex16(group.handle)} has a UUID of ${group.value.length} octets`);
      found.push({ uuid, secondary, start: group.handle, end: group.end });
      start = group.end + 1;
    }
  }
  return success(found);
}

/** Find Included Services, Core Vol 3 Part G 4.5.1. The UUID of a service with a 128-bit one is read at the service itself. */
export function* includesOf(range: ServiceRange): Procedure<RemoteService['includes']> {
  const declarations = yield* valuesOfType(attributeType.include, range);
  if (!declarations.ok) return declarations;
  const found: { uuid: Uuid; start: Handle; end: Handle }[] = [];
  for (const { handle, value } of declarations.value) {
    const start = readU16le(value, 0);
    const end = readU16le(value, 2);
    if (start === undefined || end === undefined || (value.length !== 4 && value.length !== 6)) {
      return broken(`the include at ${hex16(handle)} has ${value.length} octets, 4 or 6 are due`);
    }
    let uuid = uuidFromBytes(value.slice(4));
    if (uuid === undefined) {
      const answer = yield { kind: 'read-request', handle: start };
      if (answer.kind !== 'read-response') return unusable(answer);
      uuid = uuidFromBytes(answer.value);
      if (uuid === undefined)
        return broken(`the service at ${hex16(start)} has a UUID of ${answer.value.length} octets`);
    }
    found.push({ uuid, start, end });
  }
  return success(found);
}

/** Discover All Characteristics of a Service, Core Vol 3 Part G 4.6.1, with their descriptors, 4.7.1. */
export function* characteristicsOf(range: ServiceRange): Procedure<readonly RemoteCharacteristic[]> {
  const declarations = yield* valuesOfType(attributeType.characteristic, range);
  if (!declarations.ok) return declarations;
  const found: RemoteCharacteristic[] = [];
  for (const [i, { handle: declaration, value }] of declarations.value.entries()) {
    const last = (declarations.value[i + 1]?.handle ?? range.end + 1) - 1;
    const properties = value[0];
    const handle = readU16le(value, 1);
    const uuid = uuidFromBytes(value.slice(3));
    if (properties === undefined || handle === undefined || uuid === undefined) {
      return broken(`the characteristic at ${hex16(declaration)} has ${value.length} octets, 5 or 19 are due`);
    }
    if (handle <= declaration || handle > last) {
      return broken(
        `the characteristic at ${hex16(declaration)} has its value at ${hex16(handle)}, outside ${hex16(declaration + 1)} to ${hex16(last)}`,
      );
    }
    const descriptors = yield* descriptorsWithin(handle + 1, last);
    if (!descriptors.ok) return descriptors;
    found.push({
      kind: 'characteristic',
      uuid,
      handle,
      service: range.uuid,
      properties,
      declaration,
      descriptors: descriptors.value,
    });
  }
  return success(found);
}

/** Discover All Characteristic Descriptors, Core Vol 3 Part G 4.7.1. */
export function* descriptorsWithin(from: Handle, end: Handle): Procedure<readonly RemoteDescriptor[]> {
  const found: RemoteDescriptor[] = [];
  let start = from;
  while (start <= end) {
    const answer = yield { kind: 'find-information-request', start, end };
    if (isEnd(answer)) break;
    if (answer.kind !== 'find-information-response') return unusable(answer);
    for (const { handle, type } of answer.entries) {
      if (handle < start || handle > end) return outside(handle, start, end);
      found.push({ kind: 'descriptor', uuid: type, handle });
      start = handle + 1;
    }
  }
  return success(found);
}

/** All attributes of one type in a service, with their values. */
function* valuesOfType(
  type: Uuid,
  range: ServiceRange,
): Procedure<readonly { readonly handle: Handle; readonly value: Bytes }[]> {
  const found: { handle: Handle; value: Bytes }[] = [];
  let start = range.start + 1;
  while (start <= range.end) {
    const answer = yield { kind: 'read-by-type-request', start, end: range.end, type };
    if (isEnd(answer)) break;
    if (answer.kind !== 'read-by-type-response') return unusable(answer);
    for (const entry of answer.entries) {
      if (entry.handle < start || entry.handle > range.end) return outside(entry.handle, start, range.end);
      found.push(entry);
      start = entry.handle + 1;
    }
  }
  return success(found);
}

function outside(handle: Handle, start: Handle, end: Handle): ReturnType<typeof broken> {
  return broken(`handle ${hex16(handle)} came where one from ${hex16(start)} to ${hex16(end)} was due`);
}

function isEnd(answer: AttResponse): boolean {
  return answer.kind === 'error-response' && answer.code === attError.attributeNotFound;
}

function isUnsupportedGroup(answer: AttResponse): boolean {
  return answer.kind === 'error-response' && answer.code === attError.unsupportedGroupType;
}
