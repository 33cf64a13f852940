import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readU16le, toHex } from '../base/bytes.ts';
import { us } from '../base/quantity.ts';
import { isShortUuid, parseUuid, uuid16, uuidBytes, uuidFromBytes } from '../base/uuid.ts';
import type { Contract } from '../contract/model.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { characteristic, contract, given, integer, service, uint8, utf8 } from '../../test/support/contract-builder.ts';
import { compileTable } from './compile.ts';
import type { Row, Table } from './model.ts';
import { permissionWords } from './permissions.ts';

function compiled(source: Contract): Table {
  const { value, findings } = compileTable(source);
  expect(findings).toEqual([]);
  return value!;
}

/** The rows of the service as `type value` in hex, from the first to the last. */
function rowsOf(table: Table, id: string): readonly string[] {
  const { start, end } = table.services.find((entry) => entry.id === id)!;
  return table.rows.filter(({ handle }) => handle >= start && handle <= end).map(rowText);
}

function rowText({ type, content }: Row): string {
  switch (content.kind) {
    case 'constant':
    case 'description':
      return `${type} ${toHex(content.bytes)}`;
    case 'value':
      return `${type} value ${content.index}`;
    case 'cccd':
      return `${type} of ${content.of} allows ${content.allowed}`;
    default:
      return `${type} ${content.kind}`;
  }
}

const u = uuid16;

describe('GAP and GATT', () => {
  const table = compiled(
    contract([], {
      board: { name: 'Tank 01', appearance: 0x0540 },
      radio: { connection: { interval: { min: us(20_000), max: us(40_000) }, latency: 2, timeout: us(4_000_000) } },
    }),
  );

  // Octets by hand: 16 x 1.25 ms, 32 x 1.25 ms, latency 2, 400 x 10 ms (Core Vol 3 Part C 12.3).
  test('come first, with the connection the board wishes for', () => {
    expect(rowsOf(table, 'gap')).toEqual([
      '2800 0018',
      '2803 020300002a',
      `2A00 ${toHex(new TextEncoder().encode('Tank 01'))}`,
      '2803 020500012a',
      '2A01 4005',
      '2803 020700042a',
      '2A04 1000200002009001',
    ]);
    expect(table.rows[0]!.handle).toBe(1);
  });

  test('tell how the table changes', () => {
    expect(rowsOf(table, 'gatt')).toEqual([
      '2800 0118',
      '2803 200a00052a',
      '2A05 service-changed',
      '2902 of 10 allows 2',
      '2803 0a0d00292b',
      '2B29 client-supported-features',
      '2803 020f002a2b',
      `2B2A ${toHex(table.databaseHash.onAir)}`,
      '2803 0211003a2b',
      '2B3A 00',
    ]);
  });

  test('are open to everybody as the standard says', () => {
    const words = table.rows.map(({ type, permissions }) => `${type}: ${permissionWords(permissions).join(' ')}`);
    expect(words).toContain('2A00: read');
    expect(words).toContain('2A05: ');
    expect(words).toContain('2902: read write');
    expect(words).toContain('2B29: read write');
    expect(words).toContain('2B2A: read');
  });

  test('a name is at most 248 octets, of whole characters', () => {
    const long = compiled(contract([], { board: { name: 'ä'.repeat(125) } }));
    expect(rowsOf(long, 'gap')[2]).toBe(`2A00 ${'c3a4'.repeat(124)}`);
  });
});

describe('a characteristic', () => {
  const rows = (...args: Parameters<typeof characteristic>): readonly string[] =>
    rowsOf(compiled(contract([service('s', [characteristic(...args)], { uuid: u(0xfff0) })])), 's').slice(1);
  const uuid = u(0xfff1);

  test('that only reads', () => {
    expect(rows('level', uint8, { uuid, label: 'Lvl' })).toEqual([
      '2803 021400f1ff',
      'FFF1 value 0',
      '2901 4c766c',
      '2904 04000027010000',
    ]);
  });

  test('with all descriptors, in order', () => {
    const type = integer(true, 16, { range: [0, 4], scale: { multiplier: 1, decimal: -2, binary: 0 }, unit: 0x2722 });
    const overrides = { uuid, label: 'P', reliableWrite: true, writableLabel: true } as const;
    expect(rows('paddle', type, { ...overrides, access: ['read', 'write', 'notify', 'indicate'] })).toEqual([
      '2803 ba1400f1ff',
      'FFF1 value 0',
      '2902 of 20 allows 3',
      '2900 0300',
      '2901 50',
      '2904 0efe2227010000',
      '2906 00009001',
    ]);
  });

  test.each([
    [['read'], 0x02],
    [['write-without-response'], 0x04],
    [['write'], 0x08],
    [['notify'], 0x10],
    [['indicate'], 0x20],
    [['read', 'write', 'notify'], 0x1a],
  ] as const)('with %o has the property bits %i', (access, properties) => {
    const table = compiled(contract([service('s', [characteristic('c', uint8, { access })])]));
    expect(table.services[2]!.characteristics[0]!.properties).toBe(properties);
  });

  test('a 128-bit UUID stands in the declaration least significant octet first', () => {
    const long = parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!;
    expect(rows('c', uint8, { uuid: long })[0]).toBe('2803 021400d0418e5b0c2f779a3a4c5e0f01001d6b');
  });

  test('an adopted one has no user description unless the contract labels it', () => {
    const types = (where = given()): readonly string[] =>
      rows('t', uint8, { uuid, adopted: 'battery-level', where }).map((row) => row.slice(0, 4));
    expect(types()).toEqual(['2803', 'FFF1', '2904']);
    expect(types(given('label'))).toEqual(['2803', 'FFF1', '2901', '2904']);
  });

  test('a text of the board has no descriptors', () => {
    const model = characteristic('model', utf8(512), { uuid: u(0x2a24), adopted: 'model-number-string' });
    const information = service('device-information', [model], { uuid: u(0x180a), origin: 'board-information' });
    expect(rowsOf(compiled(contract([information])), 'device-information')).toEqual([
      '2800 0a18',
      '2803 021400242a',
      '2A24 value 0',
    ]);
  });

  test('a label over 512 octets is cut to whole characters', () => {
    const description = rows('c', uint8, { label: '€'.repeat(200) }).find((row) => row.startsWith('2901'));
    expect(description).toBe(`2901 ${'e282ac'.repeat(170)}`);
  });
});

describe('permissions', () => {
  const secured = {
    access: ['read', 'write', 'write-without-response', 'notify'],
    needs: { read: 'encrypted', write: 'authenticated', subscribe: 'secure-connections' },
    writableLabel: true,
  } as const;
  const table = compiled(contract([service('s', [characteristic('c', uint8, secured)])]));
  const words = (type: string): readonly string[] =>
    permissionWords(table.rows.filter((row) => row.handle > 17).find((row) => row.type.startsWith(type))!.permissions);

  test('the value has what the contract needs', () => {
    const { handle } = table.values[0]!;
    const row = table.rows.find((each) => each.handle === handle)!;
    expect(permissionWords(row.permissions)).toEqual([
      'read:encrypted',
      'write:authenticated',
      'write-without-response:authenticated',
    ]);
  });

  test('configuration is read by anybody and written by who may subscribe', () => {
    expect(words('2902')).toEqual(['read', 'write:secure-connections']);
  });

  test('a writable label by who may write the value', () => {
    expect(words('2901')).toEqual(['read', 'write:authenticated']);
  });

  test('declarations and formats by anybody', () => {
    for (const type of ['2800', '2803', '2900', '2904']) expect(words(type)).toEqual(['read']);
  });
});

describe('included services', () => {
  const short = service('battery', [], { uuid: u(0x180f), secondary: true });
  const long = service('long', []);

  test('stand right after the declaration, with the UUID only if it has 16 bits', () => {
    const user = service('user', [], { uuid: u(0x1808), includes: ['battery', 'long'] });
    const table = compiled(contract([user, short, long]));
    expect(rowsOf(table, 'user')).toEqual(['2800 0818', '2802 150015000f18', '2802 16001600']);
    expect(rowsOf(table, 'battery')).toEqual(['2801 0f18']);
  });

  test('may come before', () => {
    const user = service('user', [], { includes: ['battery'] });
    expect(rowsOf(compiled(contract([short, user])), 'user')[1]).toBe('2802 120012000f18');
  });

  test('are never GAP or GATT, and what does not exist is left out', () => {
    const user = service('user', [], { includes: ['gap', 'gatt', 'nothing'] });
    expect(rowsOf(compiled(contract([user])), 'user')).toHaveLength(1);
  });
});

test('value definitions say all that a board must know', () => {
  const note = characteristic('note', utf8(40, 2), { access: ['read', 'notify'], refuseWith: 0x80 });
  const table = compiled(contract([service('a', [characteristic('x', uint8)]), service('b', [note])]));
  expect(table.values.map(({ id, index, handle, cccd }) => [id, index, handle, cccd])).toEqual([
    ['x', 0, 20, undefined],
    ['note', 1, 25, 26],
  ]);
  expect(table.values[1]).toMatchObject({
    service: 'b',
    minLength: 2,
    maxLength: 40,
    refuseWith: 0x80,
    needs: note.needs,
    start: note.start,
    access: ['read', 'notify'],
  });
});

describe('of any contract', () => {
  const runs = { numRuns: 60 };
  const tables = anyContract.map((each) => ({ source: each, table: compileTable(each).value! }));

  test('handles rise strictly within 0x0001 to 0xFFFF', () => {
    fc.assert(
      fc.property(tables, ({ table }) => {
        const handles = table.rows.map((row) => row.handle);
        expect(handles).toEqual([...new Set(handles)].sort((a, b) => a - b));
        expect(handles[0]).toBe(1);
        expect(handles.at(-1)).toBeLessThanOrEqual(0xffff);
      }),
      runs,
    );
  });

  test('services hold their rows and nothing stands between them', () => {
    fc.assert(
      fc.property(tables, ({ source, table }) => {
        const inServices = table.services.flatMap(({ start, end }) =>
          Array.from({ length: end - start + 1 }, (_, i) => start + i),
        );
        expect(inServices).toEqual(table.rows.map((row) => row.handle));
        for (const [i, { start, uuid, secondary }] of table.services.entries()) {
          const row = table.rows.find((each) => each.handle === start)!;
          expect(rowText(row)).toBe(`${secondary ? '2801' : '2800'} ${toHex(uuidBytes(uuid))}`);
          const { reserve = 0 } = source.services[i - 2]?.handles ?? {};
          expect(table.services[i + 1]?.start ?? 0x10000).toBeGreaterThan(table.services[i]!.end + reserve);
        }
      }),
      runs,
    );
  });

  test('declarations, entries and definitions agree', () => {
    fc.assert(
      fc.property(tables, ({ source, table }) => {
        const byHandle = new Map(table.rows.map((row) => [row.handle, row]));
        for (const entry of table.services.flatMap((each) => each.characteristics)) {
          const declaration = byHandle.get(entry.declaration)!;
          const value = byHandle.get(entry.value)!;
          if (declaration.content.kind !== 'constant') throw new Error('a declaration is constant');
          const { bytes } = declaration.content;
          expect([bytes[0], readU16le(bytes, 1), uuidFromBytes(bytes.slice(3))]).toEqual([
            entry.properties,
            entry.value,
            entry.uuid,
          ]);
          expect(value.type).toBe(entry.uuid);
          for (const { handle, type } of entry.descriptors) expect(byHandle.get(handle)?.type).toBe(type);
          expect(entry.cccd !== undefined).toBe((entry.properties & 0x30) !== 0);
          if (entry.cccd !== undefined) expect(byHandle.get(entry.cccd)?.content).toMatchObject({ of: entry.value });
        }
        const ids = source.services.flatMap((each) => each.characteristics.map(({ id }) => id));
        expect(table.values.map(({ id }) => id)).toEqual(ids);
        for (const [i, value] of table.values.entries()) {
          expect(value.index).toBe(i);
          expect(byHandle.get(value.handle)?.content).toEqual({ kind: 'value', index: i });
          expect(value.start.length).toBeLessThanOrEqual(value.maxLength);
        }
      }),
      runs,
    );
  });

  test('includes give the handles of a service that is there', () => {
    fc.assert(
      fc.property(tables, ({ source, table }) => {
        let includes = 0;
        for (const { type, content } of table.rows) {
          if (type !== '2802' || content.kind !== 'constant') continue;
          includes += 1;
          const start = readU16le(content.bytes, 0)!;
          const included = table.services.find((each) => each.start === start)!;
          expect(readU16le(content.bytes, 2)).toBe(included.end);
          const uuid = isShortUuid(included.uuid) ? toHex(uuidBytes(included.uuid)) : '';
          expect(toHex(content.bytes.slice(4))).toBe(uuid);
        }
        const ids = source.services.map(({ id }) => id);
        const wished = source.services.flatMap((each) => each.includes.filter((id) => ids.includes(id)));
        expect(includes).toBe(wished.length);
      }),
      runs,
    );
  });

  test('the same contract gives the same table', () => {
    fc.assert(
      fc.property(anyContract, (source) => {
        expect(compileTable(source)).toEqual(compileTable(structuredClone(source)));
      }),
      runs,
    );
  });

  test('values are at most 512 octets where the table makes them', () => {
    fc.assert(
      fc.property(tables, ({ table }) => {
        for (const { content } of table.rows) {
          if (content.kind === 'constant' || content.kind === 'description') {
            expect(content.bytes.length).toBeLessThanOrEqual(512);
          }
        }
      }),
      runs,
    );
  });
});
