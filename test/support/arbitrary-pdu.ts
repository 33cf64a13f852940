import fc from 'fast-check';
import { parseUuid, uuid16, type Uuid } from '../../src/base/uuid.ts';
import type { AttPdu } from '../../src/att/pdu.ts';

const u16 = fc.nat(0xffff);
const bytes = (maxLength: number, minLength = 0): fc.Arbitrary<Uint8Array> => fc.uint8Array({ minLength, maxLength });
const shortUuid = u16.map(uuid16);
/** Never on the Bluetooth Base UUID, whose long form is read as the short one. */
const longUuid = fc.uuid().map((text) => parseUuid(`b${text.slice(1)}`) as Uuid);
const uuid = fc.oneof(shortUuid, longUuid);

/** Entries whose values have one length. */
function alike<T>(longest: number, entry: (value: fc.Arbitrary<Uint8Array>) => fc.Arbitrary<T>): fc.Arbitrary<T[]> {
  return fc.nat(longest).chain((length) => fc.array(entry(bytes(length, length)), { minLength: 1, maxLength: 4 }));
}

/** Well-formed PDUs of every kind, of whatever length. */
export const arbitraryPdu: fc.Arbitrary<AttPdu> = fc.oneof(
  fc.record({ kind: fc.constant('error-response'), request: fc.nat(255), handle: u16, code: fc.nat(255) } as const),
  fc.record({ kind: fc.constantFrom('exchange-mtu-request', 'exchange-mtu-response'), mtu: u16 } as const),
  fc.record({ kind: fc.constant('find-information-request'), start: u16, end: u16 } as const),
  fc.record({
    kind: fc.constant('find-information-response'),
    entries: fc.oneof(
      fc.array(fc.record({ handle: u16, type: shortUuid }), { minLength: 1, maxLength: 5 }),
      fc.array(fc.record({ handle: u16, type: longUuid }), { minLength: 1, maxLength: 5 }),
    ),
  } as const),
  fc.record({
    kind: fc.constant('find-by-type-value-request'),
    start: u16,
    end: u16,
    type: shortUuid,
    value: bytes(20),
  } as const),
  fc.record({
    kind: fc.constant('find-by-type-value-response'),
    found: fc.array(fc.record({ handle: u16, end: u16 }), { minLength: 1, maxLength: 5 }),
  } as const),
  fc.record({
    kind: fc.constantFrom('read-by-type-request', 'read-by-group-type-request'),
    start: u16,
    end: u16,
    type: uuid,
  } as const),
  fc.record({
    kind: fc.constant('read-by-type-response'),
    entries: alike(30, (value) => fc.record({ handle: u16, value })),
  } as const),
  fc.record({
    kind: fc.constant('read-by-group-type-response'),
    groups: alike(30, (value) => fc.record({ handle: u16, end: u16, value })),
  } as const),
  fc.record({ kind: fc.constant('read-request'), handle: u16 } as const),
  fc.record({ kind: fc.constant('read-response'), value: bytes(30) } as const),
  fc.record({ kind: fc.constant('read-blob-request'), handle: u16, offset: u16 } as const),
  fc.record({ kind: fc.constant('read-blob-response'), part: bytes(30) } as const),
  fc.record({
    kind: fc.constantFrom('read-multiple-request', 'read-multiple-variable-request'),
    handles: fc.array(u16, { minLength: 2, maxLength: 6 }),
  } as const),
  fc.record({ kind: fc.constant('read-multiple-response'), values: bytes(30) } as const),
  fc.record({
    kind: fc.constant('read-multiple-variable-response'),
    items: fc.array(
      bytes(10).map((value) => ({ length: value.length, value })),
      { minLength: 1, maxLength: 4 },
    ),
  } as const),
  fc.record({
    kind: fc.constantFrom('write-request', 'write-command', 'handle-value-notification', 'handle-value-indication'),
    handle: u16,
    value: bytes(30),
  } as const),
  fc.record({
    kind: fc.constantFrom('prepare-write-request', 'prepare-write-response'),
    handle: u16,
    offset: u16,
    part: bytes(30),
  } as const),
  fc.record({ kind: fc.constant('execute-write-request'), write: fc.boolean() } as const),
  fc.record({
    kind: fc.constantFrom('write-response', 'execute-write-response', 'handle-value-confirmation'),
  } as const),
  fc.record({
    kind: fc.constant('multiple-handle-value-notification'),
    items: fc.array(fc.record({ handle: u16, value: bytes(10) }), { minLength: 2, maxLength: 4 }),
  } as const),
  fc.record({
    kind: fc.constant('signed-write-command'),
    handle: u16,
    value: bytes(20),
    signature: bytes(12, 12),
  } as const),
);
