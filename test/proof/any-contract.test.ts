import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../../src/base/quantity.ts';
import { defaultRig } from '../../src/board/default-rig.ts';
import type { Characteristic, Contract, NotifyPolicy, OnLinkLoss } from '../../src/contract/model.ts';
import { compileTable } from '../../src/table/compile.ts';
import { lengthRange } from '../../src/values/codec.ts';
import { anyContract } from '../support/arbitrary-contract.ts';
import { isInhabited } from '../support/arbitrary-type.ts';
import { prove, troubles } from '../support/proof-bench.ts';

const policies: readonly NotifyPolicy[] = [
  { on: { kind: 'change' }, minSpacing: undefined },
  { on: { kind: 'change' }, minSpacing: us(100_000) },
  { on: { kind: 'every', period: us(50_000) }, minSpacing: undefined },
  { on: { kind: 'every', period: us(50_000) }, minSpacing: us(50_000) },
];

/** What a characteristic does on link loss, by number; only what clients write has a failsafe. */
function lossOf({ access, start }: Characteristic, which: number): OnLinkLoss {
  if (!access.includes('write') || which === 0) return { kind: 'unsaid' };
  return which === 1 ? { kind: 'keep' } : { kind: 'set', raw: start, within: us(which === 2 ? 0 : 2_000_000) };
}

/** Any contract that the lints would let pass, with every policy and failsafe. */
const arbitraryContract: fc.Arbitrary<Contract> = fc
  .record({
    contract: anyContract,
    mtu: fc.constantFrom(23, 24, 65, 247, 517),
    choices: fc.array(fc.nat(3), { minLength: 40, maxLength: 40 }),
  })
  .map(({ contract, mtu, choices }) => {
    let drawn = 0;
    const next = (): number => choices[drawn++ % choices.length] ?? 0;
    const dressed = (one: Characteristic): Characteristic => ({
      ...one,
      notify: one.notify === undefined ? undefined : policies[next()],
      onLinkLoss: lossOf(one, next()),
    });
    return {
      ...contract,
      radio: { ...contract.radio, connection: { ...contract.radio.connection, mtu } },
      services: contract.services.map((service) => ({
        ...service,
        characteristics: service.characteristics
          .filter(({ type }) => isInhabited(type) && lengthRange(type).max <= 512)
          .map(dressed),
      })),
    };
  });

describe('the board of any contract', { timeout: 60_000 }, () => {
  it('passes every case, on fast links and slow ones, in a world that moves or stands still', async () => {
    const bench = fc.record({ moves: fc.boolean(), latency: fc.constantFrom(0, 7_500, 15_000), seed: fc.nat(1000) });
    await fc.assert(
      fc.asyncProperty(arbitraryContract, bench, async (contract, { moves, latency, seed }) => {
        const { value: table } = compileTable(contract);
        if (table === undefined) return;
        const rig = moves ? { rig: defaultRig(table) } : {};
        const result = await prove(table, { seed, packets: 40, board: { ...rig, seed, latency: us(latency) } });
        expect(troubles(result)).toEqual([]);
        expect(new Set(result.results.map(({ id }) => id)).size).toBe(result.total);
      }),
      { numRuns: 12 },
    );
  });
});
