import { expect, it } from 'vitest';
import { literal, smallest, smallestFor } from './literal.ts';

it('writes constants of a type, the least of a width as a sum', () => {
  expect(literal(7n, { signed: false, bits: 8 })).toBe('UINT8_C(7)');
  expect(literal(-7n, { signed: true, bits: 16 })).toBe('(-INT16_C(7))');
  expect(literal(-(2n ** 31n), { signed: true, bits: 32 })).toBe('(-INT32_C(2147483647) - 1)');
  expect(literal(-(2n ** 63n), { signed: true, bits: 64 })).toBe('(-INT64_C(9223372036854775807) - 1)');
  expect(literal(2n ** 64n - 1n, { signed: false, bits: 64 })).toBe('UINT64_C(18446744073709551615)');
});

it('finds the smallest type', () => {
  expect([1, 8, 12, 24, 40].map((bits) => smallest(bits, false).bits)).toEqual([8, 8, 16, 32, 64]);
  expect(smallestFor(0n, 255n)).toEqual({ signed: false, bits: 8 });
  expect(smallestFor(-1n, 127n)).toEqual({ signed: true, bits: 8 });
  expect(smallestFor(-1n, 128n)).toEqual({ signed: true, bits: 16 });
  expect(smallestFor(-1n, 2n ** 63n)).toBeUndefined();
});
