import fc from 'fast-check';
import { bigToLe, concat, fromHex, noBytes, reversed, u16le, type Bytes } from '../../../src/base/bytes.ts';
import { longUuid, uuidBytes, type Uuid } from '../../../src/base/uuid.ts';
import { encodePdu } from '../../../src/att/pdu/encode.ts';
import type { AttPdu } from '../../../src/att/pdu/model.ts';
import type { Handle, Row, Table } from '../../../src/table/model.ts';
import { initialValue } from '../../../src/table/row-value.ts';
import { codedRange } from '../../../src/values/scale.ts';
import { arbitraryPdu } from '../../support/arbitrary-pdu.ts';
import { arbitraryStory } from './arbitrary-story.ts';
import type { Happening } from './twin.ts';

/**
 * What may happen to a board with this table, one thing after the other: mostly what clients really do, at its own handles
 * with values near the limits; sometimes anything at all. Each sequence comes back again and again to a few values, so
 * that what was done to one meets what is done next.
 */
export function arbitraryHappenings(table: Table, places: number, longest: number): fc.Arbitrary<Happening[]> {
  const whole = arbitraryHappening(table, table, places);
  const story = arbitraryStory(table);
  const list = (one: fc.Arbitrary<Happening>): fc.Arbitrary<Happening[]> => {
    const single = one.map((happening): readonly Happening[] => [happening]);
    const next = fc.oneof({ weight: 30, arbitrary: single }, { weight: 1, arbitrary: story });
    return fc.array(next, { maxLength: longest, size: 'max' }).map((lists) => lists.flat());
  };
  if (table.values.length < 4) return list(whole);
  return fc
    .uniqueArray(fc.nat(table.values.length - 1), { minLength: 1, maxLength: 3 })
    .map((indices) => arbitraryHappening(table, closeUp(table, indices), places))
    .chain((near) => list(fc.oneof({ weight: 3, arbitrary: near }, { weight: 1, arbitrary: whole })));
}

/** The table as if it had only these values, and what configures the client. */
function closeUp(table: Table, indices: readonly number[]): Table {
  const values = table.values.filter(({ index }) => indices.includes(index));
  const handles = new Set(values.flatMap(({ handle, cccd }) => [handle, ...(cccd === undefined ? [] : [cccd])]));
  const own = ['client-supported-features', 'description', 'service-changed'];
  const rows = table.rows.filter(
    ({ handle, content }) =>
      handles.has(handle) ||
      own.includes(content.kind) ||
      (content.kind === 'cccd' && table.values.every(({ cccd }) => cccd !== handle)),
  );
  return { ...table, rows, values };
}

/** @param table where values are looked up  @param view what is picked from */
function arbitraryHappening(table: Table, view: Table, places: number): fc.Arbitrary<Happening> {
  const place = fc.nat(places - 1);
  const pdu = arbitraryRequest(table, view);
  return fc.oneof(
    { weight: 24, arbitrary: fc.record({ kind: fc.constant('receive'), place, pdu } as const) },
    { weight: 3, arbitrary: fc.record({ kind: fc.constant('open'), place } as const) },
    {
      weight: 1,
      arbitrary: fc.record({
        kind: fc.constant('close'),
        place,
        how: fc.constantFrom('lost', 'terminated'),
      } as const),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        kind: fc.constant('secure'),
        place,
        level: fc.nat(3),
        keySize: fc.constantFrom(7, 15, 16),
      } as const),
    },
    ...(view.values.length === 0
      ? []
      : [
          {
            weight: 8,
            arbitrary: fc.constantFrom(...view.values).chain(({ index }) =>
              fc.record({
                kind: fc.constant('set'),
                index: fc.constant(index),
                value: valueFor(table, index),
              } as const),
            ),
          },
        ]),
    { weight: 6, arbitrary: fc.record({ kind: fc.constant('pass'), time: arbitraryTime } as const) },
    { weight: 1, arbitrary: fc.record({ kind: fc.constant('oversleep'), time: arbitraryTime } as const) },
    {
      weight: 1,
      arbitrary: fc
        .tuple(fc.integer({ min: 1, max: 0xffff }), fc.integer({ min: 1, max: 0xffff }))
        .map(([a, b]) => ({ kind: 'database-changed', start: Math.min(a, b), end: Math.max(a, b) }) as const),
    },
  );
}

/** Microseconds: from within one connection event to beyond every time that a contract or the standard names. */
const arbitraryTime = fc.oneof(
  fc.constantFrom(0, 1, 999, 1000, 30_000, 50_000, 100_000, 999_999, 1_000_000, 2_000_000, 29_999_999, 30_000_000),
  fc.integer({ min: 0, max: 400_000 }),
  fc.integer({ min: 0, max: 40_000_000 }),
);

function arbitraryRequest(table: Table, view: Table): fc.Arbitrary<Bytes> {
  const handles = view.rows.map(({ handle }) => handle);
  const handle: fc.Arbitrary<Handle> = fc.oneof(
    { weight: 8, arbitrary: fc.constantFrom(...handles) },
    { weight: 1, arbitrary: fc.constantFrom(0, (handles.at(-1) ?? 0) + 1, 0xffff) },
    { weight: 1, arbitrary: fc.nat(0xffff) },
  );
  const range = fc.oneof(
    { weight: 3, arbitrary: fc.constant([1, 0xffff] as const) },
    { weight: 6, arbitrary: fc.tuple(handle, handle).map(([a, b]) => [Math.min(a, b), Math.max(a, b)] as const) },
    { weight: 1, arbitrary: fc.tuple(handle, handle) },
  );
  const types = [...new Set(view.rows.map(({ type }) => type))];
  const type: fc.Arbitrary<Bytes> = fc.oneof(
    { weight: 8, arbitrary: fc.constantFrom(...types).map(uuidBytes) },
    { weight: 2, arbitrary: fc.constantFrom(...types).map(longBytes) },
    { weight: 1, arbitrary: fc.constantFrom(0x2800, 0x2801, 0x2802, 0x2803, 0x2a00, 0x2b2a).map(u16le) },
    { weight: 1, arbitrary: fc.uint8Array({ minLength: 16, maxLength: 16 }) },
  );
  const list = fc.array(handle, { minLength: 2, maxLength: 6 });
  const rowValue = fc.constantFrom(...view.rows).map((row) => initialValue(row, table));
  const written = writes(table, view);
  const execute = fc.constantFrom(1, 1, 1, 1, 0, 2).map((flags): Bytes => Uint8Array.of(0x18, flags));
  const wellFormed = fc.oneof(
    { weight: 6, arbitrary: handle.map((at) => concat([0x0a], u16le(at))) },
    {
      weight: 3,
      arbitrary: fc
        .tuple(handle, fc.oneof(fc.nat(30), fc.nat(600)))
        .map(([at, offset]) => concat([0x0c], u16le(at), u16le(offset))),
    },
    {
      weight: 2,
      arbitrary: fc.tuple(fc.constantFrom(0x0e, 0x20), list).map(([code, all]) => concat([code], ...all.map(u16le))),
    },
    {
      weight: 3,
      arbitrary: fc
        .tuple(fc.constantFrom(0x08, 0x08, 0x10), range, type)
        .map(([code, [start, end], uuid]) => concat([code], u16le(start), u16le(end), uuid)),
    },
    { weight: 2, arbitrary: range.map(([start, end]) => concat([0x04], u16le(start), u16le(end))) },
    {
      weight: 2,
      arbitrary: fc
        .tuple(range, fc.constantFrom(...types), rowValue)
        .map(([[start, end], uuid, value]) =>
          concat([0x06], u16le(start), u16le(end), uuidBytes(uuid).slice(0, 2), value),
        ),
    },
    { weight: 10, arbitrary: fc.tuple(fc.constantFrom(0x12, 0x12, 0x12, 0x52), written).map(writePdu) },
    { weight: 6, arbitrary: fc.tuple(written, fc.nat(40), fc.nat(60)).map(preparePdu) },
    { weight: 4, arbitrary: execute },
    {
      weight: 1,
      arbitrary: fc.oneof(fc.constantFrom(0, 22, 23, 24, 64, 185, 517, 0xffff), fc.nat(0xffff)).map(mtuPdu),
    },
    { weight: 3, arbitrary: fc.constant<Bytes>(Uint8Array.of(0x1e)) },
  );
  return fc.oneof(
    { weight: 30, arbitrary: wellFormed },
    { weight: 2, arbitrary: fc.tuple(wellFormed, fc.integer({ min: -3, max: 3 })).map(stretched) },
    { weight: 1, arbitrary: arbitraryPdu.map((pdu: AttPdu) => encodePdu(pdu)) },
    { weight: 1, arbitrary: fc.uint8Array({ maxLength: 30 }) },
    { weight: 1, arbitrary: fc.nat(255).map((code) => Uint8Array.of(code)) },
  );
}

type Written = readonly [handle: Handle, value: Bytes];

/** What a client may write and where: attributes that take writes, with octets made for them. */
function writes(table: Table, view: Table): fc.Arbitrary<Written> {
  const rows = view.rows.filter(({ permissions }) => permissions.write !== undefined);
  const any = fc
    .constantFrom(...view.rows)
    .chain((row) => octetsFor(table, row).map((value): Written => [row.handle, value]));
  if (rows.length === 0) return any;
  const cccds = rows.filter(({ content }) => content.kind === 'cccd');
  const to = (some: readonly Row[]): fc.Arbitrary<Written> =>
    fc.constantFrom(...some).chain((row) => octetsFor(table, row).map((value): Written => [row.handle, value]));
  return fc.oneof(
    { weight: 6, arbitrary: to(rows) },
    ...(cccds.length === 0 ? [] : [{ weight: 3, arbitrary: to(cccds) }]),
    { weight: 1, arbitrary: any },
  );
}

function octetsFor(table: Table, row: Row): fc.Arbitrary<Bytes> {
  switch (row.content.kind) {
    case 'value':
      return valueFor(table, row.content.index);
    case 'cccd':
      return fc.oneof(
        { weight: 8, arbitrary: fc.constantFrom(1, 2, 3, 0).map(u16le) },
        { weight: 1, arbitrary: fc.uint8Array({ maxLength: 3 }) },
      );
    case 'client-supported-features':
      return fc.oneof(
        { weight: 6, arbitrary: fc.constantFrom(1, 4, 5, 7, 0, 0xff).map((bits) => Uint8Array.of(bits)) },
        { weight: 1, arbitrary: fc.uint8Array({ maxLength: 18 }) },
      );
    default:
      return fc.oneof(fc.constantFrom(...texts), fc.uint8Array({ maxLength: 20 }));
  }
}

const texts: readonly Bytes[] = [
  noBytes,
  Uint8Array.of(0x61),
  Uint8Array.of(0xc3, 0xa9, 0x21),
  Uint8Array.of(0xc3),
  new Uint8Array(40).fill(0x62),
];

/** Octets for a value: what it starts with, what lies at and just beyond its limits, and others of about its length. */
function valueFor(table: Table, index: number): fc.Arbitrary<Bytes> {
  const value = table.values[index];
  if (value === undefined) return fc.constant(noBytes);
  const { type, start, minLength, maxLength } = value;
  const near: Bytes[] = [
    start,
    new Uint8Array(minLength),
    new Uint8Array(maxLength),
    new Uint8Array(maxLength).fill(0xff),
    new Uint8Array(maxLength + 1),
    new Uint8Array(Math.max(0, minLength - 1)),
  ];
  if (type.kind === 'integer') {
    const { min, max } = codedRange(type);
    for (const code of [min - 1n, min, min + 1n, max - 1n, max, max + 1n]) near.push(bigToLe(code, maxLength));
  }
  if (type.kind === 'text') near.push(...texts);
  return fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...near) },
    { weight: 2, arbitrary: fc.uint8Array({ minLength, maxLength: Math.min(maxLength, minLength + 24) }) },
    { weight: 1, arbitrary: fc.nat(255).map((octet) => Uint8Array.from(start, (own, i) => (i === 0 ? octet : own))) },
    { weight: 1, arbitrary: fc.uint8Array({ maxLength: 30 }) },
  );
}

function writePdu([code, [handle, value]]: readonly [number, Written]): Bytes {
  return concat([code], u16le(handle), value);
}

/** One part of a value, where it belongs or elsewhere. */
function preparePdu([[handle, value], from, length]: readonly [Written, number, number]): Bytes {
  const part = value.slice(from, from + length);
  return concat(
    [0x16],
    u16le(handle),
    u16le(part.length === 0 && from > 2 ? 0 : from),
    part.length === 0 ? value : part,
  );
}

function mtuPdu(mtu: number): Bytes {
  return concat([0x02], u16le(mtu));
}

function stretched([pdu, by]: readonly [Bytes, number]): Bytes {
  return by < 0 ? pdu.slice(0, Math.max(0, pdu.length + by)) : concat(pdu, new Uint8Array(by));
}

function longBytes(uuid: Uuid): Bytes {
  return reversed(fromHex(longUuid(uuid)) ?? noBytes);
}
