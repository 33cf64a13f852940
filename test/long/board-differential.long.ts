import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, it } from 'vitest';
import { compileBoard, linkBench } from '../firmware/support/board-bench.ts';
import { checkTable } from '../firmware/support/differential.ts';
import { tables } from '../firmware/support/tables.ts';
import { describeWith } from '../firmware/support/tool.ts';
import type { WasmModule } from '../firmware/support/wasm.ts';

describeWith(['clang', 'wasm-ld'], 'the board in C does what the board in TypeScript does, for long', () => {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-board-'));
  let module: WasmModule;

  beforeAll(() => {
    module = linkBench(compileBoard(folder).values(), join(folder, 'bench.wasm'));
  }, 60_000);
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  it.each(tables)(
    'with the table of $name',
    ({ table }) => {
      // The seed is the run's own, so that each run asks new questions; a failure tells it.
      checkTable(module, table(), { runs: 2000, length: 150 });
    },
    600_000,
  );
});
