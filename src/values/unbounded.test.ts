import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { arbitraryType } from '../../test/support/arbitrary-type.ts';
import { checkValue } from './check.ts';
import { lengthRange } from './codec.ts';
import { unbounded } from './unbounded.ts';

describe('unbounded', () => {
  it('takes any octets of an integer, whatever the contract allows', () => {
    const type = {
      kind: 'integer',
      signed: false,
      bits: 16,
      scale: { multiplier: 1, decimal: -2, binary: 0 },
      unit: 0x2722,
      range: { min: { num: 0n, den: 1n }, max: { num: 4n, den: 1n } },
      bounded: true,
      step: undefined,
      special: [],
    } as const;
    const most = Uint8Array.of(0xff, 0xff);
    expect(checkValue(type, most)?.reason).toBe('range');
    expect(checkValue(unbounded(type), most)).toBeUndefined();
  });

  it('never shortens the range of lengths, and says the same when said twice', () => {
    fc.assert(
      fc.property(arbitraryType(), (type) => {
        const wide = unbounded(type);
        expect(lengthRange(wide).min).toBeLessThanOrEqual(lengthRange(type).min);
        expect(lengthRange(wide).max).toBeGreaterThanOrEqual(lengthRange(type).max);
        expect(unbounded(wide)).toEqual(wide);
      }),
      { numRuns: 100 },
    );
  });
});
