import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { characteristic, contract, integer, service, utf8 } from '../../test/support/contract-builder.ts';
import { uuid16 } from '../base/uuid.ts';
import { compileTable } from '../table/compile.ts';
import { checkValue } from '../values/check.ts';
import { defaultRig } from './default-rig.ts';

function tellsOf(bench: Bench, seconds: number): ReadonlyMap<string, readonly Uint8Array[]> {
  bench.printed();
  bench.pass(seconds * 1000);
  const tells = new Map<string, Uint8Array[]>();
  for (const line of bench.parsed()) {
    if (line.kind === 'tell') tells.set(line.id, [...(tells.get(line.id) ?? []), line.value]);
  }
  return tells;
}

describe('the built-in rig', () => {
  const table = boardTable();
  const bench = new Bench({ table, rig: defaultRig(table) });
  const tells = tellsOf(bench, 120);

  it('moves what the board owns and nothing else', () => {
    const owned = table.values.filter(({ access }) => !access.some((word) => word.startsWith('write')));
    expect([...tells.keys()].sort()).toEqual(owned.map(({ id }) => id).sort());
  });

  it('only ever shows what the contract allows', () => {
    for (const [id, values] of tells) {
      const { type } = table.values.find((definition) => definition.id === id)!;
      for (const value of values) expect(checkValue(type, value)).toBeUndefined();
    }
    expect(bench.board.state.nextRigStep).toBeDefined();
  });

  it('counts upwards, about once a second', () => {
    const counts = tells.get('count')!.map((value) => Buffer.from(value).readUInt32LE());
    expect(counts).toEqual(counts.map((_, i) => i + 1));
    expect(counts.length).toBeGreaterThan(80);
    expect(counts.length).toBeLessThan(160);
  });

  it('wanders within the range without sticking to its ends', () => {
    const levels = tells.get('level')!.map((value) => Buffer.from(value).readInt16LE() / 10_000);
    const spread = Math.max(...levels) - Math.min(...levels);
    expect(spread).toBeGreaterThan(0.1);
    expect(spread).toBeLessThan(2);
    const step = Math.max(...levels.slice(1).map((level, i) => Math.abs(level - levels[i]!)));
    expect(step).toBeLessThan(0.2);
  });

  it('lets a battery fall, keeps Device Information, and knows what is usual for a unit', () => {
    const celsius = integer(true, 16, { scale: { multiplier: 1, decimal: -2, binary: 0 }, unit: 0x272f });
    const source = contract([
      service('battery', [characteristic('charge', integer(false, 8, { range: [0, 100] }), { uuid: uuid16(0x2a19) })]),
      service('information', [characteristic('maker', utf8(20))], { uuid: uuid16(0x180a) }),
      service('air', [characteristic('temperature', celsius)]),
    ]);
    const other = compileTable(source).value!;
    const run = new Bench({ table: other, rig: defaultRig(other) });
    const told = tellsOf(run, 1200);
    const charge = told.get('charge')!.map((value) => value[0]!);
    expect(charge).toEqual([...charge].sort((a, b) => b - a));
    expect(charge.length).toBeGreaterThan(5);
    expect(told.has('maker')).toBe(false);
    for (const value of told.get('temperature')!) {
      expect(Math.abs(Buffer.from(value).readInt16LE() / 100 - 21)).toBeLessThan(8);
    }
  });
});
