import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { anyContract } from '../../../test/support/arbitrary-contract.ts';
import { parseContract } from '../parse.ts';
import { contractRules } from './registry.ts';
import { lintContract } from './run.ts';

const demo = readFileSync(new URL('../../../examples/wave-tank/contract.yaml', import.meta.url), 'utf8');
const pool = [demo, ...contractRules.flatMap(({ doc }) => [doc.bad, doc.good])];

/** A piece of one contract in place of a line of another: most come out as contracts that somebody could have written. */
const mutated = fc
  .record({
    text: fc.constantFrom(...pool),
    other: fc.constantFrom(...pool),
    line: fc.nat(60),
    from: fc.nat(60),
    count: fc.integer({ min: 0, max: 3 }),
    number: fc.option(fc.constantFrom('0', '-1', '1e30', '0.3', '65536', 'true', '[1, 2]', '10 ms', '7 Hz'), {
      nil: undefined,
    }),
  })
  .map(({ text, other, line, from, count, number }) => {
    const lines = text.split('\n');
    const pieces = other
      .split('\n')
      .slice(from % other.split('\n').length)
      .slice(0, count);
    lines.splice(line % lines.length, 1, ...pieces);
    const whole = lines.join('\n');
    return number === undefined ? whole : whole.replace(/: [0-9][^,}\n]*/, `: ${number}`);
  });

describe('the lints', () => {
  it('never throw, whatever the contract, and point into its text', () => {
    fc.assert(
      fc.property(mutated, (text) => {
        const { value } = parseContract(text);
        if (value === undefined) return;
        for (const whole of [true, false]) {
          for (const finding of lintContract(value, text, whole)) {
            const places = [
              finding.at,
              ...finding.related.map(({ at }) => at),
              ...finding.fixes.flatMap(({ edits }) => edits.map(({ at }) => at)),
            ];
            for (const { start, end } of places) {
              expect(start).toBeGreaterThanOrEqual(0);
              expect(end).toBeGreaterThanOrEqual(start);
              expect(end).toBeLessThanOrEqual(text.length);
            }
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it('never throw for contracts that were not written', () => {
    fc.assert(
      fc.property(anyContract, (contract) => {
        const findings = lintContract(contract, '', true);
        expect(findings.every(({ message }) => message !== '')).toBe(true);
      }),
      { numRuns: 200 },
    );
  });
});
