import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { us } from '../../src/base/quantity.ts';
import { defaultRig } from '../../src/board/default-rig.ts';
import waveTank from '../../examples/wave-tank/rig.ts';
import { check } from '../../src/table/check.ts';
import { prove, troubles } from '../support/proof-bench.ts';

const examples = new URL('../../examples/', import.meta.url);
const names = readdirSync(examples, { withFileTypes: true }).flatMap((entry) =>
  entry.isDirectory() ? [entry.name] : [],
);

describe('the board of an example', { timeout: 60_000 }, () => {
  it.each(names)('%s passes every case, its world moving', async (name) => {
    const { table } = check(readFileSync(new URL(`${name}/contract.yaml`, examples))).value!;
    const result = await prove(table, { board: { rig: defaultRig(table) } });
    expect(troubles(result)).toEqual([]);
    expect(result.counts.passed).toBeGreaterThan(200);
  });

  it('passes with the waves of the tank', async () => {
    const { table } = check(readFileSync(new URL('wave-tank/contract.yaml', examples))).value!;
    expect(troubles(await prove(table, { board: { rig: waveTank } }))).toEqual([]);
  });

  it('passes on a slow link, too', async () => {
    const { table } = check(readFileSync(new URL('wave-tank/contract.yaml', examples))).value!;
    const result = await prove(table, { board: { rig: defaultRig(table), latency: us(11_250) } });
    expect(troubles(result)).toEqual([]);
  });
});
