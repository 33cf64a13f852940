import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { arbitraryHappenings } from './support/arbitrary-happening.ts';
import {
  boardSources,
  compileBoard,
  compileObject,
  linkBench,
  sourcePath,
  type BoardSource,
} from './support/board-bench.ts';
import { firstDifference } from './support/differential.ts';
import { tables } from './support/tables.ts';
import { describeWith, temporaryFolder } from './support/tool.ts';
import { octetsOf } from './support/octets-of.ts';
import { Twin, type Happening } from './support/twin.ts';
import type { WasmModule } from './support/wasm.ts';
import type { Bytes } from '../../src/base/bytes.ts';
import type { Table } from '../../src/table/model.ts';
import { checkValue } from '../../src/values/check.ts';

/** A mistake planted in the C runtime: what stands there, what stands there instead, and what a user would see. */
type Mutant = {
  readonly file: BoardSource;
  readonly text: string;
  readonly replacement: string;
  readonly breaks: string;
};

const mutants = JSON.parse(readFileSync(new URL('board-mutants.json', import.meta.url), 'utf8')) as readonly Mutant[];

type Questions = {
  readonly table: Table;
  readonly sequences: readonly Happening[][];
  /** By value: octets that it may have or not. */
  readonly values: readonly (readonly Bytes[])[];
};

/** Random sequences tried on a mutant; those that are caught are so within the first few. */
const mostSequences = 400;

describe('the mutants of the board in C', () => {
  it('are many, each in a file of the board, each changing what stands there once', () => {
    expect(mutants.length).toBeGreaterThanOrEqual(20);
    for (const { file, text, breaks } of mutants) {
      expect(boardSources).toContain(file);
      expect(readFileSync(sourcePath(file), 'utf8').split(text), `${file}: ${breaks}`).toHaveLength(2);
    }
  });
});

describeWith(['clang', 'wasm-ld'], 'a mistake in the board in C is caught', () => {
  const folder = temporaryFolder();
  let objects: ReadonlyMap<string, string>;
  let questions: readonly Questions[];

  beforeAll(() => {
    objects = compileBoard(folder);
    questions = tables.slice(0, 2).map(({ table }) => {
      const own = table();
      const sequences = fc.sample(arbitraryHappenings(own, 3, 80), { numRuns: mostSequences, seed: 42 });
      const values = own.values.map(({ type }) => fc.sample(octetsOf(type), { numRuns: 100, seed: 42 }));
      return { table: own, sequences, values };
    });
  }, 120_000);

  it.each(mutants)(
    '$file: $breaks',
    (mutant) => {
      const module = planted(mutant);
      expect(isCaught(module)).toBe(true);
    },
    60_000,
  );

  function planted({ file, text, replacement }: Mutant): WasmModule {
    const path = join(folder, `mutant-${file}`);
    writeFileSync(
      path,
      readFileSync(sourcePath(file), 'utf8').replace(text, () => replacement),
    );
    const object = `${path}.o`;
    compileObject(path, object);
    const linked = new Map(objects).set(file, object);
    return linkBench(linked.values(), join(folder, 'mutant.wasm'));
  }

  /** The tables in turn, so that what only one of them shows is found soon. */
  function isCaught(module: WasmModule): boolean {
    if (questions.some(({ table, values }) => trapped(() => judgesOtherwise(module, table, values)))) return true;
    for (let i = 0; i < mostSequences; i++) {
      for (const { table, sequences } of questions) {
        if (trapped(() => firstDifference(module, table, sequences[i] ?? []) !== undefined)) return true;
      }
    }
    return false;
  }
});

/** A mutant may also write where it must not: a trap of the module is a difference too. */
function trapped(differs: () => boolean): boolean {
  try {
    return differs();
  } catch {
    return true;
  }
}

/** Whether the check in C says of any of these octets what the one in TypeScript does not. */
function judgesOtherwise(module: WasmModule, table: Table, values: readonly (readonly Bytes[])[]): boolean {
  const twin = new Twin(module, table);
  if (twin.differences.length > 0) return true;
  return table.values.some(({ type }, index) =>
    (values[index] ?? []).some(
      (value) => (twin.bench.check(index, value) === 0) !== (checkValue(type, value) === undefined),
    ),
  );
}
