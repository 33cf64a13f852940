import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { check } from '../../src/table/check.ts';
import type { Table } from '../../src/table/model.ts';
import { compileBoard, linkBench } from './support/board-bench.ts';
import { checkTable } from './support/differential.ts';
import { describeWith, repository, temporaryFolder } from './support/tool.ts';
import type { WasmModule } from './support/wasm.ts';

const examples = readdirSync(join(repository, 'examples')).map((name) => join('examples', name, 'contract.yaml'));

describeWith(['clang', 'wasm-ld'], 'the board in C does what the board in TypeScript does', () => {
  const folder = temporaryFolder();
  let module: WasmModule;

  beforeAll(() => {
    module = linkBench(compileBoard(folder).values(), join(folder, 'bench.wasm'));
  });

  it.each([...examples, 'test/mutants/every-kind.yaml'])('for %s', (path) => {
    checkTable(module, tableOf(path), { runs: 150, length: 60 });
  });
});

function tableOf(path: string): Table {
  const compiled = check(readFileSync(join(repository, path), 'utf8')).value;
  expect(compiled).toBeDefined();
  return compiled!.table;
}
