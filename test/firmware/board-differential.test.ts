import fc from 'fast-check';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { packTable } from '../../src/emit/packed-table/pack-table.ts';
import { compileTable } from '../../src/table/compile.ts';
import { anyContract } from '../support/arbitrary-contract.ts';
import { BoardBench, compileBoard, linkBench } from './support/board-bench.ts';
import { checkTable } from './support/differential.ts';
import { everyTypeTable } from './support/every-type.ts';
import { tables } from './support/tables.ts';
import { describeWith, temporaryFolder } from './support/tool.ts';
import type { WasmModule } from './support/wasm.ts';

describeWith(['clang', 'wasm-ld'], 'the board in C does what the board in TypeScript does', () => {
  const folder = temporaryFolder();
  let module: WasmModule;

  beforeAll(() => {
    module = linkBench(compileBoard(folder).values(), join(folder, 'bench.wasm'));
  }, 60_000);

  it.each(tables)(
    'with the table of $name',
    ({ table }) => {
      checkTable(module, table(), { runs: 60, length: 80 });
    },
    60_000,
  );

  it('with any table', () => {
    const contracts = fc.sample(anyContract, { numRuns: 40, seed: 7 });
    let packed = 0;
    for (const contract of contracts) {
      const table = compileTable(contract).value;
      // A start value that its own type refuses is a finding of the contract; a packed table has none.
      if (table === undefined || !startsAllowed(table.values)) continue;
      if (!packTable(table).ok) continue;
      packed += 1;
      checkTable(module, table, { runs: 4, length: 60 });
    }
    expect(packed).toBeGreaterThan(10);
  }, 60_000);

  it('refuses a table with any octet damaged, cut, or at an odd length of memory', () => {
    const packed = packTable(everyTypeTable());
    if (!packed.ok) throw new Error(packed.why);
    const { bytes } = packed;
    const bench = new BoardBench(module);
    const needed = bench.memoryFor(bytes);
    expect(bench.start(bytes, needed)).toBe(0);
    expect(bench.start(bytes, needed - 1)).toBe(-2);
    for (let i = 0; i < bytes.length; i++) {
      const damaged = Uint8Array.from(bytes, (octet, at) => (at === i ? octet ^ (1 + (i % 254)) : octet));
      expect(bench.memoryFor(damaged), `octet ${i}`).toBe(0);
    }
    for (const length of [0, 4, 79, 80, bytes.length - 1]) {
      expect(bench.memoryFor(bytes.slice(0, length)), `${length} octets`).toBe(0);
    }
  });
});

function startsAllowed(
  values: readonly { readonly start: Uint8Array; readonly minLength: number; readonly maxLength: number }[],
): boolean {
  return values.every(({ start, minLength, maxLength }) => {
    return start.length >= minLength && start.length <= maxLength && maxLength <= 512;
  });
}
