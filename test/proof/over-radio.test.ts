import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { defaultRig } from '../../src/board/default-rig.ts';
import { check } from '../../src/table/check.ts';
import { boardTable } from '../support/board-table.ts';
import { troubles, proveOverRadio } from '../support/proof-bench.ts';

const examples = new URL('../../examples/', import.meta.url);
/** Cases that set the link's security as a fixture cannot be asked over a radio: the board keeps no keys yet. */
const askable = (result: Awaited<ReturnType<typeof proveOverRadio>>) =>
  troubles(result).filter((text) => !/^\S+ not-reachable/.test(text));

describe('the same cases over the virtual radio', { timeout: 60_000 }, () => {
  // The wave tank has every kind of value; the seismograph wishes long packets at 2M.
  it.each(['wave-tank', 'seismograph'])('%s passes all that can be asked there', async (name) => {
    const { table } = check(readFileSync(new URL(`${name}/contract.yaml`, examples))).value!;
    const result = await proveOverRadio(table, { board: { rig: defaultRig(table) } });
    expect(askable(result)).toEqual([]);
    expect(result.counts.passed).toBeGreaterThan(200);
    expect(result.results.filter(({ family }) => family === 'link').map(({ verdict }) => verdict)).not.toContain(
      'not-reachable',
    );
  });

  it('passes when every twentieth packet is lost', async () => {
    const result = await proveOverRadio(boardTable(), { radio: { loss: 0.05 } });
    // What comes late because it was sent twice shifts what is timed at its arrival.
    expect(askable(result).filter((text) => !/^notifications\/\w+\/(rate|period) /.test(text))).toEqual([]);
  });

  it('is the same to the microsecond each time', async () => {
    const run = async (seed: number) => {
      const { results } = await proveOverRadio(boardTable(), { radio: { seed, loss: 0.01 }, only: ['mtu', 'link'] });
      return results.map(({ id, took, exchange }) => [id, took, exchange.map(({ at }) => at)]);
    };
    expect(await run(7)).toEqual(await run(7));
    expect(await run(7)).not.toEqual(await run(8));
  });
});
