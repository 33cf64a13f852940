import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { defaultRig } from '../../src/board/default-rig.ts';
import { longSoak } from '../../src/proof/plan.ts';
import { check } from '../../src/table/check.ts';
import { prove, troubles } from '../support/proof-bench.ts';

const examples = new URL('../../examples/', import.meta.url);
const names = readdirSync(examples, { withFileTypes: true }).flatMap((entry) =>
  entry.isDirectory() ? [entry.name] : [],
);

describe('eight hours of virtual time, truth compared with air on every step', () => {
  it.each(names)('%s', async (name) => {
    const { table } = check(readFileSync(new URL(`${name}/contract.yaml`, examples))).value!;
    const result = await prove(table, { only: ['soak'], soak: longSoak, board: { rig: defaultRig(table) } });
    expect(troubles(result)).toEqual([]);
    expect(result.counts.passed).toBeGreaterThan(0);
  });
});

describe('the whole proof, from ten seeds', () => {
  it.each(Array.from({ length: 10 }, (_, seed) => seed + 2))('seed %i', async (seed) => {
    for (const name of names) {
      const { table } = check(readFileSync(new URL(`${name}/contract.yaml`, examples))).value!;
      const board = { rig: defaultRig(table), seed };
      expect(troubles(await prove(table, { board, seed, packets: 2000 })), name).toEqual([]);
    }
  });
});
