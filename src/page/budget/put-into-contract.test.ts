import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compiledOf, exampleNames, exampleText } from '../../../test/support/budget-bench.ts';
import { us } from '../../base/quantity.ts';
import { withWhatIf, type WhatIf } from '../../budget/what-if.ts';
import { plain, radio } from '../../contract/rules/sample.ts';
import type { Table } from '../../table/model.ts';
import { withFix } from '../stores/fixes.ts';
import { putIntoContract } from './put-into-contract.ts';
import { offeredRates } from './rates.ts';

/** What the budget reads of a table; places in the text are another matter. */
const radioOf = ({ radio: { advertise, connection }, values }: Table) => ({
  interval: advertise.interval,
  connection: { ...connection, where: undefined },
  notify: values.map(({ id, notify }) => [id, notify]),
});

function put(text: string, whatIf: WhatIf): { readonly text: string; readonly left: readonly string[] } {
  const { fix, left } = putIntoContract(text, compiledOf(text).contract, whatIf);
  return { text: fix === undefined ? text : withFix(text, fix), left };
}

describe('putting what was tried into the contract', () => {
  const changes = fc.record(
    {
      advertisingInterval: fc.integer({ min: 160, max: 2000 }).map((steps) => us(steps * 625)),
      interval: fc.integer({ min: 12, max: 60 }).map((steps) => us(steps * 1250)),
      latency: fc.integer({ min: 0, max: 4 }),
      timeout: fc.integer({ min: 200, max: 600 }).map((steps) => us(steps * 10_000)),
      mtu: fc.integer({ min: 65, max: 247 }),
      dataLength: fc.constant(251),
      phy: fc.constantFrom<'1M' | '2M'>('1M', '2M'),
    },
    { requiredKeys: [] },
  );

  it.each(exampleNames)('makes %s mean what was tried, and keeps all else of its text', (name) => {
    const text = exampleText(name);
    const { table } = compiledOf(text);
    const noted = table.values.filter(({ notify }) => notify !== undefined).map(({ id }) => id);
    fc.assert(
      fc.property(
        changes,
        fc.constantFrom(...noted),
        fc.constantFrom(...offeredRates.slice(0, 10)),
        (change, id, rate) => {
          const whatIf = { ...change, spacings: { [id]: us(1_000_000 / rate) } };
          const { text: after, left } = put(text, whatIf);
          const expected = left.length === 0 ? whatIf : change;
          expect(radioOf(compiledOf(after).table)).toEqual(radioOf(withWhatIf(table, expected)));
          const comments = (of: string) => of.match(/#.*$/gm);
          expect(comments(after)).toEqual(comments(text));
        },
      ),
      { numRuns: 40 },
    );
  });

  it('writes what is not in the text yet', () => {
    const change = { interval: us(15_000), advertisingInterval: us(200_000), mtu: 100 };
    for (const text of [plain, radio('connection: { interval: 30 ms }'), radio('advertise: { interval: 100 ms }')]) {
      const after = put(text, change).text;
      expect(radioOf(compiledOf(after).table)).toEqual(radioOf(withWhatIf(compiledOf(text).table, change)));
    }
  });

  it('leaves the rate of a value that is used as it is, and says so', () => {
    const text = exampleText('wave-tank');
    const { text: after, left } = put(text, { spacings: { 'battery-level': us(1_000_000) } });
    expect(left).toEqual(['battery-level']);
    expect(after).toBe(text);
  });

  it('takes the rate of a policy in lines of its own', () => {
    const text = radio(
      'connection: { interval: 30 ms }',
      'id: x\ntype: uint8\naccess: [read, notify]\nnotify:\n  on: change # only news\n  at-most: 10 Hz\nlabel: X',
    );
    const { text: after } = put(text, { spacings: { x: us(500_000) } });
    expect(compiledOf(after).table.values[0]!.notify).toMatchObject({ minSpacing: 500_000 });
    expect(after).toContain('label: X');
  });

  it('does nothing for nothing', () => {
    expect(putIntoContract(plain, compiledOf(plain).contract, {}).fix).toBeUndefined();
  });
});
