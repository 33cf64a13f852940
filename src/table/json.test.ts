import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fromHex, toHex } from '../base/bytes.ts';
import { parseUuid } from '../base/uuid.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { characteristic, contract, service, sint16 } from '../../test/support/contract-builder.ts';
import { compileTable } from './compile.ts';
import { tableJson } from './json.ts';

const paddle = characteristic('paddle', sint16, {
  access: ['read', 'write', 'write-without-response', 'notify'],
  needs: { read: 'open', write: 'encrypted', subscribe: 'open' },
  start: Uint8Array.of(0x32, 0x00),
  uuid: parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!,
  writableLabel: true,
});

test('a table in the published shape', () => {
  const table = compileTable(contract([service('tank', [paddle])])).value!;
  const json = tableJson(table);
  expect(Object.keys(json)).toEqual(['databaseHash', 'advertising', 'scanResponse', 'rows']);
  expect(json.databaseHash).toEqual({
    specification: toHex(table.databaseHash.specification),
    onAir: toHex(table.databaseHash.onAir),
  });
  expect(json.advertising.startsWith('020106')).toBe(true);
  expect(json.rows.filter(({ handle }) => handle > 18)).toEqual([
    {
      handle: 19,
      type: '2803',
      permissions: ['read'],
      value: '9e1400d0418e5b0c2f779a3a4c5e0f01001d6b',
      about: 'tank / paddle: characteristic',
    },
    {
      handle: 20,
      type: '6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0',
      permissions: ['read', 'write:encrypted', 'write-without-response:encrypted'],
      value: '3200',
      about: 'tank / paddle: value',
    },
    {
      handle: 21,
      type: '2902',
      permissions: ['read', 'write'],
      value: '0000',
      about: 'tank / paddle: client configuration',
    },
    { handle: 22, type: '2900', permissions: ['read'], value: '0200', about: 'tank / paddle: extended properties' },
    {
      handle: 23,
      type: '2901',
      permissions: ['read', 'write:encrypted'],
      value: toHex(new TextEncoder().encode('paddle')),
      about: 'tank / paddle: user description',
    },
    {
      handle: 24,
      type: '2904',
      permissions: ['read'],
      value: '0e000027010000',
      about: 'tank / paddle: presentation format',
    },
  ]);
});

test("GATT's own values are those of a new client", () => {
  const { rows } = tableJson(compileTable(contract([])).value!);
  const value = (type: string): string | undefined => rows.find((row) => row.type === type)?.value;
  expect([value('2A05'), value('2902'), value('2B29'), value('2B3A')]).toEqual(['', '0000', '00', '00']);
});

test('any table is plain data and keeps every octet', () => {
  fc.assert(
    fc.property(anyContract, (source) => {
      const table = compileTable(source).value!;
      const json = tableJson(table);
      expect(JSON.parse(JSON.stringify(json))).toEqual(json);
      expect(fromHex(json.advertising)).toEqual(table.advertising.bytes);
      expect(fromHex(json.scanResponse)).toEqual(table.scanResponse.bytes);
      expect(json.rows.map(({ handle }) => handle)).toEqual(table.rows.map(({ handle }) => handle));
      for (const { value, type } of json.rows) {
        expect(fromHex(value)).toBeDefined();
        expect(parseUuid(type)).toBe(type);
      }
    }),
    { numRuns: 50 },
  );
});
