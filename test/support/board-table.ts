import { us } from '../../src/base/quantity.ts';
import { rational } from '../../src/base/rational.ts';
import type { Need } from '../../src/contract/model.ts';
import { compileTable } from '../../src/table/compile.ts';
import type { Table, ValueDefinition } from '../../src/table/model.ts';
import type { EnumType, FlagsType, StructType } from '../../src/values/type.ts';
import {
  bytesType,
  characteristic,
  contract,
  integer,
  service,
  uint16,
  uint32,
  uint8,
  utf8,
} from './contract-builder.ts';

/** Physical = coded / 100, hertz, 0 to 4. */
export const speedType = integer(false, 16, {
  scale: { multiplier: 1, decimal: -2, binary: 0 },
  unit: 0x2722,
  range: [0, 4],
});

/** Physical = coded / 10000, metre, -1 to 1. */
const levelType = integer(true, 16, {
  scale: { multiplier: 1, decimal: -4, binary: 0 },
  unit: 0x2701,
  range: [-1, 1],
});

const dyeType: EnumType = {
  kind: 'enum',
  bits: 8,
  names: ['none', 'fluorescein', 'rhodamine'].map((name, code) => ({ code: BigInt(code), name })),
};

const modesType: FlagsType = {
  kind: 'flags',
  bits: 8,
  names: [
    { bit: 0, name: 'run' },
    { bit: 2, name: 'log' },
  ],
};

const setupType: StructType = {
  kind: 'struct',
  fields: [
    { id: 'gain', label: 'Gain', type: integer(true, 16, { range: [-100, 100] }) },
    { id: 'points', label: 'Points', type: integer(false, 8, { range: [1, 16] }) },
  ],
};

const encrypted: { readonly read: Need; readonly write: Need; readonly subscribe: Need } = {
  read: 'encrypted',
  write: 'encrypted',
  subscribe: 'encrypted',
};

const onChange = { kind: 'change' } as const;

/** A table with a value of each kind and each way of access: what the tests of boards and links work on. */
export function boardTable(overrides: { readonly mtu?: number } = {}): Table {
  const source = contract(
    [
      service('bench', [
        characteristic('count', uint32, {
          access: ['read', 'notify'],
          notify: { on: onChange, minSpacing: us(100_000) },
        }),
        characteristic('speed', speedType, {
          access: ['read', 'write'],
          start: Uint8Array.of(50, 0),
          onLinkLoss: { kind: 'set', raw: Uint8Array.of(0, 0), within: us(2_000_000) },
        }),
        characteristic('level', levelType, {
          access: ['read', 'notify'],
          notify: { on: { kind: 'every', period: us(50_000) }, minSpacing: us(50_000) },
        }),
        characteristic('lamp', { kind: 'boolean' }, { access: ['read', 'write'], onLinkLoss: { kind: 'keep' } }),
        characteristic(
          'valve',
          { kind: 'boolean' },
          {
            access: ['read', 'write'],
            start: Uint8Array.of(1),
            onLinkLoss: { kind: 'set', raw: Uint8Array.of(0), within: us(0) },
          },
        ),
        characteristic('dye', dyeType, { access: ['read', 'write', 'notify'] }),
        characteristic('modes', modesType, { access: ['read', 'write'] }),
      ]),
      service('words', [
        characteristic('caption', utf8(60), { access: ['write'] }),
        characteristic('title', utf8(60), { access: ['read', 'write'] }),
        characteristic('note', utf8(40), {
          access: ['read', 'notify'],
          start: new TextEncoder().encode('ready'),
          notify: { on: onChange, minSpacing: us(500_000) },
        }),
        characteristic('blob', bytesType(100), { access: ['read', 'write'] }),
      ]),
      service('rest', [
        characteristic('alarm', uint8, { access: ['read', 'indicate'] }),
        characteristic('total', integer(false, 64), { access: ['read', 'write'] }),
        characteristic('order', uint8, { access: ['write-without-response'] }),
        characteristic('setup', setupType, {
          access: ['read', 'write'],
          start: Uint8Array.of(1, 0, 2),
          needs: encrypted,
        }),
        characteristic('secret', uint16, { access: ['read', 'notify'], needs: encrypted }),
        characteristic(
          'samples',
          { kind: 'array', element: integer(true, 16), minCount: 4, maxCount: 4 },
          { access: ['read', 'notify'] },
        ),
        characteristic(
          'ratio',
          {
            kind: 'float',
            format: 'float32',
            unit: 0x2700,
            range: { min: rational(0), max: rational(1) },
            step: undefined,
          },
          { access: ['read'] },
        ),
      ]),
    ],
    { radio: { connection: { mtu: overrides.mtu ?? 60 } } },
  );
  const { value, findings } = compileTable(source);
  if (value === undefined) throw new Error(`the table of the tests does not compile: ${JSON.stringify(findings)}`);
  return value;
}

export function valueOf(table: Table, id: string): ValueDefinition {
  const found = table.values.find((value) => value.id === id);
  if (found === undefined) throw new Error(`no value ${id}`);
  return found;
}
