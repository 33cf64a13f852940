import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { check } from '../../../src/table/check.ts';
import type { Table } from '../../../src/table/model.ts';
import { everyTypeTable } from './every-type.ts';
import { repository } from './tool.ts';

/** Tables that the board in C is looked at with: every example, and two made to leave nothing out. */
export const tables: readonly { readonly name: string; readonly table: () => Table }[] = [
  { name: 'every kind', table: () => tableOf(join('test', 'mutants', 'every-kind.yaml')) },
  { name: 'every type', table: everyTypeTable },
  ...readdirSync(join(repository, 'examples')).map((name) => ({
    name,
    table: () => tableOf(join('examples', name, 'contract.yaml')),
  })),
];

function tableOf(path: string): Table {
  const compiled = check(readFileSync(join(repository, path), 'utf8')).value;
  if (compiled === undefined) throw new Error(`${path} has no table`);
  return compiled.table;
}
