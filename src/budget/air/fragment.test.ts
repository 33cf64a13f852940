import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fragments } from './fragment.ts';

describe('fragments of an ATT PDU', () => {
  it('puts the default MTU into one packet of the default length', () => {
    expect(fragments(23, 27)).toEqual([27]);
    expect(fragments(247, 251)).toEqual([251]);
  });

  it('spills into a nearly empty packet just beyond', () => {
    expect(fragments(24, 27)).toEqual([27, 1]);
    expect(fragments(185, 27)).toEqual([27, 27, 27, 27, 27, 27, 27]);
    expect(fragments(512, 251)).toEqual([251, 251, 14]);
  });

  it('loses no octet and makes no empty or overlong packet', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 517 }), fc.integer({ min: 27, max: 251 }), (att, length) => {
        const parts = fragments(att, length);
        expect(parts.reduce((sum, part) => sum + part, 0)).toBe(att + 4);
        expect(parts.every((part) => part > 0 && part <= length)).toBe(true);
        expect(parts.slice(0, -1).every((part) => part === length)).toBe(true);
      }),
      { numRuns: 200 },
    );
  });
});
