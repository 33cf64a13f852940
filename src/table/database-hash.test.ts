import { createCipheriv } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { uuid16 } from '../base/uuid.ts';
import { bytesType, characteristic, contract, service, uint8 } from '../../test/support/contract-builder.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { compileTable } from './compile.ts';
import { databaseHash, hashedMessage, type HashedRow } from './database-hash.ts';
import type { Row } from './model.ts';

// Core Vol 3 Part G Appendix B. Values that the example leaves open are written as `-`: they do not enter the hash.
const example = `
0001 2800 0018
0002 2803 0a0300002a
0003 2a00 -
0004 2803 020500012a
0005 2a01 -
0006 2800 0118
0007 2803 200800052a
0008 2a05 -
0009 2902 -
000a 2803 0a0b00292b
000b 2b29 -
000c 2803 020d002a2b
000d 2b2a -
000e 2800 0818
000f 2802 140016000f18
0010 2803 a21100182a
0011 2a18 -
0012 2902 -
0013 2900 0000
0014 2801 0f18
0015 2803 021600192a
0016 2a19 -`;

const exampleMessage =
  '010000280018020003280a0300002a04000328020500012a06000028011807000328200800052a090002290a0003280a0b00292b0c00' +
  '0328020d002a2b0e00002808180f000228140016000f1810000328a21100182a12000229130000290000140001280f1815000328021600192a';
const exampleHash = 'f1ca2d48ecf58bac8a8830bbb9fba990';

const exampleRows = example
  .trim()
  .split('\n')
  .map((line): HashedRow => {
    const [handle = '', type = '', value = ''] = line.split(' ');
    const bytes = fromHex(value === '-' ? '99' : value)!;
    return { handle: parseInt(handle, 16), type: uuid16(parseInt(type, 16)), content: { kind: 'constant', bytes } };
  });

describe("the Core Specification's example", () => {
  test('message of 111 octets', () => {
    expect(toHex(hashedMessage(exampleRows))).toBe(exampleMessage);
    expect(hashedMessage(exampleRows)).toHaveLength(111);
  });

  test('hash in both orders', () => {
    const { specification, onAir } = databaseHash(exampleRows);
    expect(toHex(specification)).toBe(exampleHash);
    expect(toHex(onAir)).toBe('90a9fbb9bb30888aac8bf5ec482dcaf1');
  });

  // A public test carries a 112th octet, zero, and strips it before hashing: with it the hash is another.
  test('a zero octet more gives another hash', () => {
    expect(toHex(cmacOracle(fromHex(exampleMessage)!))).toBe(exampleHash);
    expect(toHex(cmacOracle(fromHex(`${exampleMessage}00`)!))).not.toBe(exampleHash);
  });

  test('a contract says the same table', () => {
    const glucose = characteristic('measurement', bytesType(17), {
      uuid: uuid16(0x2a18),
      adopted: 'glucose-measurement',
      access: ['read', 'indicate'],
      reliableWrite: true,
    });
    const level = characteristic('level', uint8, { uuid: uuid16(0x2a19), adopted: 'battery-level' });
    const table = compileTable(
      contract([
        service('glucose', [glucose], { uuid: uuid16(0x1808), includes: ['battery'] }),
        service('battery', [level], { uuid: uuid16(0x180f), secondary: true }),
      ]),
    ).value!;
    const rows = relocated(table.rows.filter((row) => !beyondExample(row)));
    expect(rows.map(({ handle, type }) => [handle, type])).toEqual(
      exampleRows.map(({ handle, type }) => [handle, type]),
    );
    // The example's device name can be written, and its extended properties are 0: no contract of ours says either.
    const patched = rows.map((row) => {
      if (row.handle === 0x0002) return withOctet(row, 0, 0x0a);
      return row.handle === 0x0013 ? withOctet(row, 0, 0x00) : row;
    });
    expect(toHex(hashedMessage(patched))).toBe(exampleMessage);
    expect(toHex(databaseHash(patched).specification)).toBe(exampleHash);
  });
});

/** Attributes that our tables have and the example has not. */
function beyondExample({ type, about }: Row): boolean {
  return (
    ['2904', '2906', '2901'].includes(type) || /^gap \/ peripheral-preferred|^gatt \/ server-supported/.test(about)
  );
}

/** The rows with handles from 1 on without gaps, also within the values of declarations. */
function relocated(rows: readonly Row[]): readonly HashedRow[] {
  const handles = new Map(rows.map((row, i) => [row.handle, i + 1]));
  return rows.map((row): HashedRow => {
    const handle = handles.get(row.handle)!;
    if (row.content.kind !== 'constant') return { ...row, handle };
    const bytes = Uint8Array.from(row.content.bytes);
    const view = new DataView(bytes.buffer);
    const move = (offset: number): void => {
      const old = view.getUint16(offset, true);
      // An include ends at the last attribute that is kept.
      const kept = [...handles.keys()].filter((each) => each <= old).pop()!;
      view.setUint16(offset, handles.get(kept)!, true);
    };
    if (row.type === '2803') move(1);
    if (row.type === '2802') [0, 2].forEach(move);
    return { handle, type: row.type, content: { kind: 'constant', bytes } };
  });
}

function withOctet(row: HashedRow, offset: number, octet: number): HashedRow {
  if (row.content.kind !== 'constant') throw new Error('not constant');
  const bytes = Uint8Array.from(row.content.bytes);
  bytes[offset] = octet;
  return { ...row, content: { kind: 'constant', bytes } };
}

/** AES-CMAC with key zero after RFC 4493, on node's block cipher: nothing of ours in it. */
function cmacOracle(message: Bytes): Bytes {
  const aes = (block: Bytes): Bytes => {
    const cipher = createCipheriv('aes-128-ecb', new Uint8Array(16), null).setAutoPadding(false);
    return new Uint8Array(cipher.update(block));
  };
  const double = (block: Bytes): Bytes => {
    const shifted = (BigInt(`0x${toHex(block)}`) << 1n) & ((1n << 128n) - 1n);
    const carry = (block[0]! & 0x80) === 0 ? 0n : 0x87n;
    return fromHex((shifted ^ carry).toString(16).padStart(32, '0'))!;
  };
  const k1 = double(aes(new Uint8Array(16)));
  const blocks = Math.max(1, Math.ceil(message.length / 16));
  const last = message.slice(16 * (blocks - 1));
  const whole = last.length === 16;
  const padded = new Uint8Array(16);
  padded.set(last);
  if (!whole) padded[last.length] = 0x80;
  const key = whole ? k1 : double(k1);
  let mac: Bytes = new Uint8Array(16);
  for (let i = 0; i < blocks; i++) {
    const block = i < blocks - 1 ? message.slice(16 * i, 16 * i + 16) : padded.map((octet, j) => octet ^ key[j]!);
    mac = aes(block.map((octet, j) => octet ^ mac[j]!));
  }
  return mac;
}

const tables = anyContract.map((each) => compileTable(each).value!);
const withValue = ['2800', '2801', '2802', '2803', '2900'];
const hashed = [...withValue, '2901', '2902', '2903', '2904', '2905'];

test('the hash is the CMAC of the message, by an independent cipher', () => {
  fc.assert(
    fc.property(tables, ({ rows, databaseHash: hash }) => {
      const oracle = cmacOracle(hashedMessage(rows));
      expect(toHex(hash.specification)).toBe(toHex(oracle));
      expect(toHex(hash.onAir)).toBe(toHex(oracle.reverse()));
    }),
    { numRuns: 60 },
  );
});

describe('the hash changes exactly when a hashed attribute does', () => {
  const cases = fc.record({
    rows: tables.map((table) => table.rows),
    place: fc.double({ min: 0, max: 0.999, noNaN: true }),
  });
  const change = (alter: (row: Row) => readonly Row[], changes: (row: Row) => boolean): void => {
    fc.assert(
      fc.property(cases, ({ rows, place }) => {
        const i = Math.floor(place * rows.length);
        const row = rows[i]!;
        const changed = [...rows.slice(0, i), ...alter(row), ...rows.slice(i + 1)];
        const same = toHex(databaseHash(changed).specification) === toHex(databaseHash(rows).specification);
        expect([row.type, same]).toEqual([row.type, !changes(row)]);
      }),
      { numRuns: 100 },
    );
  };

  test('value', () => {
    change(
      (row) =>
        row.content.kind === 'constant'
          ? [{ ...row, content: { kind: 'constant', bytes: fromHex('0102030405')! } }]
          : [row],
      (row) => withValue.includes(row.type),
    );
  });

  test('handle', () => {
    change(
      (row) => [{ ...row, handle: row.handle ^ 0x4000 }],
      (row) => hashed.includes(row.type),
    );
  });

  test('presence', () => {
    change(
      () => [],
      (row) => hashed.includes(row.type),
    );
  });

  test('permissions and places never', () => {
    change(
      (row) => [
        { ...row, permissions: { ...row.permissions, read: 'encrypted' }, about: '', at: { start: 1, end: 2 } },
      ],
      () => false,
    );
  });
});
