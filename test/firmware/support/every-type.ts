import { rational } from '../../../src/base/rational.ts';
import { compileTable } from '../../../src/table/compile.ts';
import { lengthRange } from '../../../src/values/codec.ts';
import { checkValue } from '../../../src/values/check.ts';
import type { Characteristic, Need, NotifyPolicy } from '../../../src/contract/model.ts';
import type { Table } from '../../../src/table/model.ts';
import { us } from '../../../src/base/quantity.ts';
import type { ArrayType, StructType, ValueType } from '../../../src/values/type.ts';
import { bytesType, characteristic, contract, integer, service, utf8 } from '../../support/contract-builder.ts';

const packed: StructType = {
  kind: 'struct',
  fields: [
    { id: 'two', label: '', type: integer(false, 2, { range: [1, 2] }) },
    { id: 'twelve', label: '', type: integer(true, 12, { range: [-100, 1000] }) },
    { id: 'four', label: '', type: integer(false, 4, { special: [{ code: 15n, name: 'unknown' }], range: [0, 9] }) },
    { id: 'switch', label: '', type: { kind: 'boolean' } },
    { id: 'word', label: '', type: utf8(9, 1) },
  ],
};

const point: StructType = {
  kind: 'struct',
  fields: [
    { id: 'x', label: '', type: integer(true, 24, { range: [-70_000, 70_000] }) },
    {
      id: 'pair',
      label: '',
      type: { kind: 'array', element: integer(false, 8, { range: [3, 9] }), minCount: 2, maxCount: 2 },
    },
    { id: 'rest', label: '', type: { kind: 'bytes', minLength: 2, maxLength: 2 } },
  ],
};

const points: ArrayType = { kind: 'array', element: point, minCount: 0, maxCount: 4 };

/** A type for each operation of a check program, alone and within others. */
const types: readonly (readonly [id: string, type: ValueType])[] = [
  ['whole', integer(false, 32)],
  ['twelve', integer(true, 12, { range: [-5, 5] })],
  ['forty', integer(true, 40, { range: [-500_000_000, 500_000_000] })],
  ['huge', integer(false, 128, { range: [2 ** 40, 2 ** 50], special: [{ code: 0n, name: 'none' }] })],
  ['choice', { kind: 'enum', bits: 16, names: [0n, 1n, 7n, 300n].map((code) => ({ code, name: `n${code}` })) }],
  ['flags', { kind: 'flags', bits: 24, names: [0, 7, 8, 23].map((bit) => ({ bit, name: `b${bit}` })) }],
  [
    'ratio',
    { kind: 'float', format: 'float64', unit: 0x2700, range: { min: rational(-1), max: rational(0) }, step: undefined },
  ],
  [
    'dose',
    {
      kind: 'float',
      format: 'medfloat32',
      unit: 0x2700,
      range: { min: rational(-3), max: rational(40) },
      step: undefined,
    },
  ],
  ['small', { kind: 'float', format: 'medfloat16', unit: 0x2700, range: undefined, step: undefined }],
  ['wide', { kind: 'text', encoding: 'utf16', minLength: 2, maxLength: 20 }],
  ['packed', packed],
  ['points', points],
  ['pairs', { kind: 'array', element: integer(false, 16), minCount: 1, maxCount: 5 }],
  ['long', bytesType(512)],
];

const policies: readonly NotifyPolicy[] = [
  { on: { kind: 'change' }, minSpacing: us(100_000) },
  { on: { kind: 'change' }, minSpacing: undefined },
  { on: { kind: 'every', period: us(70_000) }, minSpacing: us(100_000) },
  { on: { kind: 'every', period: us(86_400_000_000) }, minSpacing: undefined },
];

/**
 * A table with every type, each way of access, each policy, failsafes, gaps in its handles and UUIDs of several bases:
 * what the example contracts leave out.
 */
export function everyTypeTable(): Table {
  const needs: readonly Need[] = ['open', 'open', 'open', 'encrypted', 'authenticated', 'secure-connections'];
  const all = types.map(([id, type], i): Characteristic => {
    const need = needs[i % needs.length] ?? 'open';
    const start = startOf(type);
    return characteristic(id, type, {
      access: i % 3 === 2 ? ['read', 'write', 'indicate'] : ['read', 'write', 'write-without-response', 'notify'],
      needs: { read: need, write: 'open', subscribe: need },
      notify: policies[i % policies.length],
      start,
      refuseWith: 0x80 + i,
      writableLabel: i === 1,
      onLinkLoss:
        i % 4 === 0
          ? { kind: 'set', raw: start, within: i === 0 ? us(7_200_000_000) : us(1_500_000 * (i + 1)) }
          : { kind: 'unsaid' },
    });
  });
  const table = compileTable(
    contract(
      [
        service('first', all.slice(0, 5)),
        service('second', all.slice(5, 9), { handles: { from: 0x0130, reserve: 3 }, includes: ['first'] }),
        service('third', all.slice(9), { handles: { from: 0x0520, reserve: 0 }, secondary: true }),
      ],
      { radio: { connection: { mtu: 517 } } },
    ),
  ).value;
  if (table === undefined) throw new Error('no table');
  return table;
}

/** The first allowed value of a few simple ones. */
function startOf(type: ValueType): Uint8Array {
  const { min } = lengthRange(type);
  const candidates = [0, 1, 3, 0x31, 0x80].map((octet) => new Uint8Array(min).fill(octet));
  const allowed = candidates.find((value) => checkValue(type, value) === undefined);
  if (allowed === undefined) throw new Error('no simple value is allowed');
  return allowed;
}
