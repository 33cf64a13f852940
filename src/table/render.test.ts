import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plainPalette, type Palette } from '../base/render-finding.ts';
import { toHex } from '../base/bytes.ts';
import { parseUuid, uuid16 } from '../base/uuid.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { characteristic, contract, integer, service, utf8 } from '../../test/support/contract-builder.ts';
import { compileTable } from './compile.ts';
import type { Table } from './model.ts';
import { renderTable } from './render.ts';
import { assignedName, rowMeaning } from './row-meaning.ts';
import { textColumns, wrap } from './text-columns.ts';

const paddle = characteristic(
  'paddle',
  integer(false, 16, { scale: { multiplier: 1, decimal: -2, binary: 0 }, unit: 0x2722, range: [0, 4] }),
  {
    access: ['read', 'write', 'notify', 'indicate'],
    label: 'Paddle frequency',
    start: Uint8Array.of(0x32, 0),
    uuid: parseUuid('6b1d0002-0f5e-4c3a-9a77-2f0c5b8e41d0')!,
    reliableWrite: true,
    writableLabel: true,
  },
);
const note = characteristic('note', utf8(20), { start: new TextEncoder().encode('ready'), uuid: uuid16(0x2a9f) });
const tank = service('tank', [paddle, note], {
  uuid: parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!,
  includes: ['battery'],
});
const battery = service('battery', [], { uuid: uuid16(0x180f), secondary: true });

const table = compileTable(
  contract([tank, battery], { board: { name: 'Tank 01 in the long room', appearance: 0x0543 } }),
).value!;

function lineOf(text: string, start: string): string {
  return text.split('\n').find((line) => line.startsWith(start)) ?? '';
}

describe('at a wide terminal', () => {
  const text = renderTable(table, { columns: 160, palette: plainPalette });

  test.each([
    ['handle', 'handle  type                       permissions  value                                   about'],
    ['0x0012', '0x0012  2800 Primary Service       read         d0418e5b0c2f779a3a4c5e0f01001d6b'],
    ['0x0015', '0x0015  6b1d0002…                  read write   3200'],
  ])('%s', (start, expected) => {
    expect(lineOf(text, start)).toContain(expected);
  });

  test.each([
    ['0x0012', 'tank, service: 6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0'],
    ['0x0013', 'tank, includes battery: 0x001F to 0x001F'],
    ['0x0014', 'tank / paddle: read, write, notify, indicate, extended properties;'],
    ['0x0015', '  0.5 Hz'],
    ['0x0016', '2902 Client Configuration'],
    ['0x0016', 'may be set to notify and indicate'],
    ['0x0017', 'reliable write, writable description'],
    ['0x0018', '"Paddle frequency"'],
    ['0x0019', 'uint16 × 10^-2, hertz'],
    ['0x001A', '0 Hz to 4 Hz'],
    ['0x001C', '"ready"'],
    ['0x001F', '2801 Secondary Service'],
    ['0x0005', 'Temperature sensor'],
    ['0x0007', 'interval 30 ms, latency 0, timeout 4 s'],
  ])('%s says %s', (start, expected) => {
    expect(lineOf(text, start)).toContain(expected);
  });

  test('both orders of the hash', () => {
    const { specification, onAir } = table.databaseHash;
    expect(text).toContain(`${toHex(specification)}  as the standard prints it, most significant octet first`);
    expect(text).toContain(`${toHex(onAir)}  as the board sends it, least significant octet first`);
  });

  test('what is advertised, what is not, and why', () => {
    expect(text.slice(text.indexOf('Advertising data'))).toBe(
      `Advertising data (25 of 31 octets)
  0201061107d0418e5b0c2f779a3a4c5e0f01001d6b03194305
  0201 06  Flags: general discoverable, no BR/EDR
  1107 d0418e5b0c2f779a3a4c5e0f01001d6b  Complete List of 128-bit Service Class UUIDs: tank
  0319 4305  Appearance: Temperature sensor
  not here: name \`Tank 01 in the long room\`; it needs 26 octets, 10 octets are left; it is in the scan response

Scan response data (26 of 31 octets)
  190954616e6b20303120696e20746865206c6f6e6720726f6f6d
  1909 54616e6b20303120696e20746865206c6f6e6720726f6f6d  Complete Local Name: \`Tank 01 in the long room\`
`,
    );
  });
});

test('colours are the palette’s, and change no letter', () => {
  const mark = (text: string): string => `<${text}>`;
  const palette: Palette = { error: mark, warning: mark, note: mark, strong: mark, quiet: mark };
  const coloured = renderTable(table, { columns: 120, palette });
  expect(coloured).toContain('<Database hash>');
  expect(coloured.replace(/[<>]/g, '')).toBe(renderTable(table, { columns: 120, palette: plainPalette }));
});

test('any table fits its terminal, is free of control characters, and shows every handle', () => {
  fc.assert(
    fc.property(anyContract, fc.integer({ min: 100, max: 200 }), (source, columns) => {
      const compiled: Table = compileTable(source).value!;
      const text = renderTable(compiled, { columns, palette: plainPalette });
      // eslint-disable-next-line no-control-regex -- that there are none is the point
      expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
      const rows = text.slice(0, text.indexOf('\nDatabase hash')).split('\n');
      for (const line of rows) expect(line.length).toBeLessThanOrEqual(columns);
      const handles = rows.flatMap((line) => /^0x([0-9A-F]{4})/.exec(line)?.[1] ?? []);
      expect(handles.map((digits) => parseInt(digits, 16))).toEqual(compiled.rows.map(({ handle }) => handle));
    }),
    { numRuns: 50 },
  );
});

test('every row of any table has a meaning in words, or none', () => {
  fc.assert(
    fc.property(anyContract, (source) => {
      const compiled = compileTable(source).value!;
      for (const row of compiled.rows) expect(typeof rowMeaning(row, compiled)).toBe('string');
    }),
    { numRuns: 50 },
  );
});

test('names of UUIDs', () => {
  expect(assignedName(uuid16(0x2803))).toBe('Characteristic');
  expect(assignedName(uuid16(0x2904))).toBe('Characteristic Presentation Format');
  expect(assignedName(uuid16(0x180f))).toBe('Battery');
  expect(assignedName(uuid16(0xfff0))).toBeUndefined();
});

describe('columns', () => {
  test('are as wide as what is in them, at most their limit, the last as what is left', () => {
    const { heading, rows } = textColumns(
      [{ heading: 'a', widest: 5 }],
      'text',
      [
        ['1', 'one two three'],
        ['12', ''],
      ],
      13,
    );
    expect(heading).toBe('a   text');
    expect(rows).toEqual([['1   one two', '    three'], ['12']]);
  });

  test.each([
    ['one two three', 7, ['one two', 'three']],
    ['abcdefgh', 3, ['abc', 'def', 'gh']],
    ['ab-cd-ef gh', 6, ['ab-cd-', 'ef gh']],
    ['🌊🌊🌊', 2, ['🌊🌊', '🌊']],
    ['', 5, []],
  ])('%s in %i', (text, width, lines) => {
    expect(wrap(text, width)).toEqual(lines);
  });
});
