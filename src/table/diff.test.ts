import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { equalBytes } from '../base/bytes.ts';
import { parseContract } from '../contract/parse.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { compileTable } from './compile.ts';
import { diffTables } from './diff.ts';
import { effects } from './diff/change.ts';
import type { Table } from './model.ts';

const base = `contract: 1
board:
  name: Mixer {unit}
  unit: "01"
  maker: Bench works
uuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8
radio:
  advertise: { interval: 100 ms, services: [mixer] }
  connection: { interval: 30 ms, mtu: 64 }
services:
  - id: mixer
    characteristics:
      - id: speed
        label: Speed
        type: uint16
        scale: { decimal: -1 }
        unit: hertz
        range: [0, 100]
        access: [read, write, notify]
        notify: { on: change, at-most: 5 Hz }
        on-link-loss: { value: 0, within: 1 s }
      - id: mode
        type: { enum: uint8, names: { 0: idle, 1: stir, 2: purge } }
        access: [read, write]
      - id: caption
        type: utf8
        length: [0, 20]
        access: [read, write]
  - id: setup
    characteristics:
      - id: gauge
        type:
          struct:
            - { id: gain, type: sint16, scale: { decimal: -4 } }
            - { id: zero, type: sint16, unit: volt }
        access: [read]
      - id: trace
        type: { array: sint16, count: 8 }
        access: [read]
`;

/** Errors of the contract do not matter here, only that it has a table. */
function table(text: string): Table {
  const { value: contract, findings } = parseContract(text);
  expect(findings.filter(({ severity }) => severity === 'error').map(({ message }) => message)).toEqual([]);
  return compileTable(contract!).value!;
}

/** `effect kind about` of each change that an edit makes; the words to replace occur once. */
function changes(...edits: readonly (readonly [from: string, to: string])[]): readonly string[] {
  const edited = edits.reduce((text, [from, to]) => {
    expect(text.split(from).length, from).toBe(2);
    return text.replace(from, to);
  }, base);
  return diffTables(table(base), table(edited)).map(({ effect, kind, about }) => `${effect} ${kind} ${about}`);
}

const hash = 'must-rediscover database-hash-changed table';
const newTail = `      - id: extra
        type: uint8
        access: [read]
`;

describe('a value', () => {
  it.each<[string, string, string, readonly string[]]>([
    [
      'another type',
      'type: uint16\n        scale: { decimal: -1 }',
      'type: uint32\n        scale: { decimal: -1 }',
      ['breaks type-changed mixer / speed'],
    ],
    [
      'another sign',
      'type: uint16\n        scale: { decimal: -1 }',
      'type: sint16\n        scale: { decimal: -1 }',
      ['breaks type-changed mixer / speed'],
    ],
    ['another scale', 'scale: { decimal: -1 }', 'scale: { decimal: -2 }', ['breaks scale-changed mixer / speed']],
    ['the same scale in other words', 'scale: { decimal: -1 }', 'scale: { multiplier: 1, decimal: -1, binary: 0 }', []],
    ['another unit', 'unit: hertz', 'unit: revolution per minute', ['breaks unit-changed mixer / speed']],
    ['a narrower range', 'range: [0, 100]', 'range: [0, 50]', ['breaks range-narrowed mixer / speed']],
    ['a wider range', 'range: [0, 100]', 'range: [0, 200]', ['keeps-working range-widened mixer / speed']],
    [
      'a shifted range',
      'range: [0, 100]',
      'range: [-100, 50]',
      ['breaks range-narrowed mixer / speed', 'keeps-working range-widened mixer / speed'],
    ],
    [
      'a code with another meaning',
      '1: stir, 2: purge',
      '1: purge, 2: stir',
      ['breaks names-moved mixer / mode', 'breaks names-moved mixer / mode'],
    ],
    ['a code with another word', '1: stir', '1: mix', ['keeps-working name-changed mixer / mode']],
    ['a code more', '2: purge', '2: purge, 3: rinse', ['keeps-working name-added mixer / mode']],
    ['a code less', ', 2: purge', '', ['breaks name-removed mixer / mode']],
    ['a shorter text', 'length: [0, 20]', 'length: [0, 10]', ['breaks length-narrowed mixer / caption']],
    ['a longer text', 'length: [0, 20]', 'length: [0, 30]', ['keeps-working length-widened mixer / caption']],
    ['a longer array', 'count: 8', 'count: 9', ['breaks length-changed setup / trace']],
    ['an element of another type', 'array: sint16', 'array: sint32', ['breaks type-changed setup / trace']],
    [
      'a field more',
      'unit: volt }',
      'unit: volt }\n            - { id: points, type: uint8 }',
      ['breaks fields-changed setup / gauge'],
    ],
    ['a field with another name', 'id: gain', 'id: slope', ['keeps-working field-renamed setup / gauge']],
    ['a field in another unit', 'unit: volt', 'unit: ampere', ['breaks unit-changed setup / gauge']],
    ['another start', 'id: mode\n', 'id: mode\n        start: stir\n', ['keeps-working start-changed mixer / mode']],
    [
      'another failsafe',
      'value: 0, within: 1 s',
      'value: 5, within: 1 s',
      ['keeps-working failsafe-changed mixer / speed'],
    ],
    [
      'no failsafe',
      '        on-link-loss: { value: 0, within: 1 s }\n',
      '',
      ['keeps-working failsafe-changed mixer / speed'],
    ],
    ['another rate', 'at-most: 5 Hz', 'at-most: 50 Hz', ['keeps-working rate-changed mixer / speed']],
    [
      'another refusal',
      'id: mode\n',
      'id: mode\n        refuse-with: 0x80\n',
      ['keeps-working refusal-changed mixer / mode'],
    ],
    ['another label', 'label: Speed', 'label: Speed of the blades', ['keeps-working label-changed mixer / speed']],
    [
      'encryption for all',
      'access: [read, write]\n      - id: caption',
      'access: [read, write]\n        needs: encrypted\n      - id: caption',
      ['breaks needs-raised mixer / mode', 'breaks needs-raised mixer / mode'],
    ],
    ['encryption for a way that is not there', 'count: 8 }\n', 'count: 8 }\n        needs: { write: encrypted }\n', []],
    ['a step', 'unit: hertz', 'unit: hertz\n        step: 1', []],
    ['another word for the same time', 'within: 1 s', 'within: 1000 ms', []],
  ])('with %s', (_, from, to, expected) => {
    expect(changes([from, to])).toEqual(expected);
  });

  it('that is only read keeps working with a narrower range', () => {
    const readOnly: readonly [string, string] = ['access: [read, write, notify]', 'access: [read, notify]'];
    const old = table(base.replace(...readOnly));
    const next = table(base.replace(...readOnly).replace('range: [0, 100]', 'range: [0, 50]'));
    expect(diffTables(old, next).map(({ effect, kind }) => `${effect} ${kind}`)).toEqual([
      'keeps-working range-narrowed',
    ]);
  });

  it('tells the old and the new in words', () => {
    const [change] = diffTables(table(base), table(base.replace('range: [0, 100]', 'range: [0, 50]')));
    expect(change).toMatchObject({
      reason: 'its range was 0 to 100 Hz and is 0 to 50 Hz',
      client: 'writes that were taken are refused',
    });
    expect(base.slice(change!.old!.start, change!.old!.end)).toMatch(/^id: speed/);
  });
});

describe('access', () => {
  it('that is taken away breaks clients, and moves what stands behind', () => {
    expect(
      changes([
        'access: [read, write, notify]\n        notify: { on: change, at-most: 5 Hz }',
        'access: [read, write]',
      ]),
    ).toEqual([
      'breaks access-removed mixer / speed',
      'must-rediscover handles-moved service mixer',
      'must-rediscover handles-moved service setup',
      hash,
    ]);
  });

  it('that is added leaves clients as they are, but changes the table', () => {
    expect(
      changes([
        'length: [0, 20]\n        access: [read, write]',
        'length: [0, 20]\n        access: [read, write, write-without-response]',
      ]),
    ).toEqual([hash, 'keeps-working access-added mixer / caption']);
  });
});

describe('structure', () => {
  it('with a characteristic more at the very end moves nothing', () => {
    expect(changes(['count: 8 }\n        access: [read]\n', `count: 8 }\n        access: [read]\n${newTail}`])).toEqual(
      ['must-rediscover characteristic-added setup / extra', hash],
    );
  });

  it('with a characteristic more in the middle moves handles and slots behind it', () => {
    const found = changes(['      - id: caption\n', `${newTail}      - id: caption\n`]);
    expect(found).toEqual([
      'breaks uuid-changed service setup',
      'breaks uuid-changed mixer / caption',
      'breaks uuid-changed setup / gauge',
      'breaks uuid-changed setup / trace',
      'must-rediscover handles-moved service mixer',
      'must-rediscover handles-moved service setup',
      'must-rediscover characteristic-added mixer / extra',
      hash,
    ]);
  });

  it('names the slot that would have kept the UUID', () => {
    const next = table(base.replace('      - id: caption\n', `${newTail}      - id: caption\n`));
    const moved = diffTables(table(base), next).filter(({ kind }) => kind === 'uuid-changed');
    expect(moved.map(({ about, remedy }) => `${about}: ${remedy}`)).toEqual([
      'service setup: pin it with `slot: 5`',
      'mixer / caption: pin it with `slot: 4`',
      'setup / gauge: pin it with `slot: 6`',
      'setup / trace: pin it with `slot: 7`',
    ]);
  });

  it('keeps its UUIDs with that slot pinned, and its handles with the services pinned', () => {
    const pinned = base.replace('- id: setup\n', '- id: setup\n    slot: 5\n    handles: { from: 0x40 }\n');
    const next = pinned
      .replace('      - id: gauge\n', '      - id: gauge\n        slot: 6\n')
      .replace('      - id: trace\n', '      - id: trace\n        slot: 7\n')
      .replace('  - id: setup\n', `${newTail}  - id: setup\n`);
    expect(
      diffTables(table(pinned), table(next)).map(({ effect, kind, about }) => `${effect} ${kind} ${about}`),
    ).toEqual(['must-rediscover characteristic-added mixer / extra', hash]);
  });

  it('without a characteristic breaks its clients', () => {
    expect(
      changes(['      - id: trace\n        type: { array: sint16, count: 8 }\n        access: [read]\n', '']),
    ).toEqual(['breaks characteristic-removed setup / trace', hash]);
  });

  it('without a service tells of the service alone', () => {
    const next = table(base.slice(0, base.indexOf('  - id: setup')));
    expect(diffTables(table(base), next).map(({ effect, kind, about }) => `${effect} ${kind} ${about}`)).toEqual([
      'breaks service-removed service setup',
      hash,
    ]);
    expect(diffTables(next, table(base)).map(({ effect, kind, about }) => `${effect} ${kind} ${about}`)).toEqual([
      'must-rediscover service-added service setup',
      hash,
    ]);
  });

  it('with services in another order moves handles, and slots', () => {
    const at = base.indexOf('  - id: mixer');
    const second = base.indexOf('  - id: setup');
    const next = base.slice(0, at) + base.slice(second) + base.slice(at, second);
    const kinds = diffTables(table(base), table(next)).map(({ kind }) => kind);
    expect(new Set(kinds)).toEqual(
      new Set([
        'uuid-changed',
        'handles-moved',
        'database-hash-changed',
        'advertised-uuid-removed',
        'advertised-uuid-added',
      ]),
    );
  });

  it('with a characteristic in another service breaks its clients', () => {
    const trace = '      - id: trace\n        type: { array: sint16, count: 8 }\n        access: [read]\n';
    const next = base.replace(trace, '').replace('  - id: setup\n', `${trace}  - id: setup\n`);
    const found = diffTables(table(base), table(next)).map(({ effect, kind, about }) => `${effect} ${kind} ${about}`);
    expect(found).toContain('breaks service-of-characteristic-changed mixer / trace');
  });

  it('knows a renamed id by its UUID', () => {
    expect(changes(['id: caption', 'id: title'])).toEqual([
      'keeps-working id-changed mixer / title',
      'keeps-working label-changed mixer / title',
    ]);
    expect(changes(['id: setup', 'id: calibration'])).toEqual([
      'keeps-working id-changed service calibration',
      'keeps-working label-changed service calibration',
    ]);
  });

  it('tells of a service that becomes secondary, or is included', () => {
    expect(changes(['- id: setup\n', '- id: setup\n    secondary: true\n'])).toEqual([
      'breaks service-kind-changed service setup',
      hash,
    ]);
    expect(changes(['- id: mixer\n', '- id: mixer\n    includes: [setup]\n'])).toEqual([
      'must-rediscover includes-changed service mixer',
      'must-rediscover handles-moved service mixer',
      'must-rediscover handles-moved service setup',
      hash,
    ]);
  });
});

describe('the board', () => {
  it.each<[string, string, string, readonly string[]]>([
    ['another unit', 'unit: "01"', 'unit: "02"', ['keeps-working unit-changed board']],
    [
      'another name',
      'name: Mixer',
      'name: Stirrer',
      ['breaks name-changed board', 'keeps-working name-place-changed board'],
    ],
    [
      'a longer name',
      'unit: "01"',
      'unit: "0100"',
      ['keeps-working unit-changed board', 'keeps-working name-place-changed board'],
    ],
    [
      'another maker',
      'Bench works',
      'Bench works Ltd',
      ['keeps-working start-changed device-information / manufacturer-name-string'],
    ],
    [
      'another advertised service',
      'services: [mixer]',
      'services: [setup]',
      ['breaks advertised-uuid-removed board', 'keeps-working advertised-uuid-added board'],
    ],
    [
      'slower advertising',
      'advertise: { interval: 100 ms',
      'advertise: { interval: 1 s',
      ['keeps-working advertising-interval-changed board'],
    ],
    ['an appearance', 'maker:', 'appearance: 0x0540\n  maker:', ['keeps-working appearance-changed board']],
    ['a larger MTU', 'mtu: 64', 'mtu: 185', ['keeps-working mtu-changed connection']],
    [
      'a slower connection',
      'connection: { interval: 30 ms',
      'connection: { interval: 60 ms',
      ['keeps-working connection-changed connection'],
    ],
    [
      'manufacturer data',
      'services: [mixer]',
      'services: [mixer], manufacturer-data: { company: 0x0059, data: "" }',
      ['keeps-working name-place-changed board', 'keeps-working manufacturer-data-changed board'],
    ],
  ])('with %s', (_, from, to, expected) => {
    expect(changes([from, to])).toEqual(expected);
  });
});

describe('any two tables', () => {
  const anyTable = anyContract.map((contract) => compileTable(contract).value).filter((value) => value !== undefined);

  it('have no difference when they are the same', () => {
    fc.assert(
      fc.property(anyTable, (one) => {
        expect(diffTables(one, one)).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });

  it('send nobody to discover again while the hash is the same, and somebody when it is not', () => {
    fc.assert(
      fc.property(anyTable, anyTable, (old, next) => {
        const found = diffTables(old, next);
        const same = equalBytes(old.databaseHash.onAir, next.databaseHash.onAir);
        expect(found.some(({ effect }) => effect === 'must-rediscover')).toBe(!same);
        // Worst first.
        const order = found.map(({ effect }) => effects.indexOf(effect));
        expect(order).toEqual([...order].sort((a, b) => a - b));
      }),
      { numRuns: 200 },
    );
  });

  it('say of what one has and the other has not the opposite, the other way round', () => {
    fc.assert(
      fc.property(anyTable, anyTable, (old, next) => {
        const count = (from: Table, to: Table, kind: string): number =>
          diffTables(from, to).filter((change) => change.kind === kind).length;
        expect(count(old, next, 'service-added')).toBe(count(next, old, 'service-removed'));
      }),
      { numRuns: 100 },
    );
  });
});
