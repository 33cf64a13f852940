import { describe, expect, it } from 'vitest';
import { PlanWriter } from './plan-writer.ts';

describe('the steps of a segment', () => {
  it('have the narrowest width that holds operands and result, unsigned first', () => {
    const writer = new PlanWriter();
    const code = writer.input(-100n, 1000n);
    const distance = writer.subtract('distance', code, writer.constant(-100n));
    const product = writer.multiply('product', distance, writer.constant(4_000_000n));
    const made = writer.finish(writer.shiftRight('word', product, 8))!;
    expect(made.steps.map(({ name, signed, bits, least, greatest }) => [name, signed, bits, least, greatest])).toEqual([
      ['distance', true, 32, 0n, 1100n],
      ['product', false, 64, 0n, 4_400_000_000n],
      ['word', false, 64, 0n, 17_187_500n],
    ]);
    expect(writer.finish(product, 32)).toBeUndefined();
  });

  it('leave out what changes nothing, and what nothing needs', () => {
    const writer = new PlanWriter();
    const code = writer.input(0n, 9n);
    expect(writer.multiply('', code, writer.constant(1n))).toBe(code);
    expect(writer.add('', code, writer.constant(0n))).toBe(code);
    expect(writer.minimum('', code, 9n)).toBe(code);
    expect(writer.multiply('', code, writer.constant(0n)).number).toEqual({ kind: 'constant', value: 0n });
    const idle = writer.shiftRight('', writer.add('', code, writer.constant(1n)), 10);
    expect(idle.number).toEqual({ kind: 'constant', value: 0n });
    const word = writer.add('word', writer.add('', code, idle), writer.constant(5n));
    expect(writer.finish(word)).toMatchObject({
      steps: [{ name: 'word', left: { kind: 'input' }, right: { value: 5n } }],
      result: { kind: 'step', index: 0 },
    });
  });

  it('are none where 64 bits do not hold a number', () => {
    const writer = new PlanWriter();
    const code = writer.input(0n, 2n ** 40n);
    expect(writer.finish(writer.multiply('', code, writer.constant(2n ** 30n)))).toBeUndefined();
  });

  it('keep bounds that are proved elsewhere', () => {
    const writer = new PlanWriter();
    const code = writer.input(0n, 2n ** 20n);
    const sum = writer.add('sum', code, code, { least: 0n, greatest: 7n });
    expect(sum).toMatchObject({ least: 0n, greatest: 7n });
  });
});
