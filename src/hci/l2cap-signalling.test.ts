import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { fromHex, toHex } from '../base/bytes.ts';
import {
  decodeParameterWish,
  decodeSignal,
  encodeParameterWish,
  encodeSignal,
  isAllowedWish,
  signalCode,
} from './l2cap-signalling.ts';

describe('a signalling packet', () => {
  it('asks for connection parameters in the units of the air', () => {
    // Core Vol 3 Part A 4.20: 15 ms to 30 ms, no latency, 4 s.
    const data = encodeParameterWish({ intervalMin: 12, intervalMax: 24, latency: 0, timeout: 400 });
    const octets = encodeSignal({ code: signalCode.parameterUpdateRequest, identifier: 1, data });
    expect(toHex(octets, ' ')).toBe('12 01 08 00 0c 00 18 00 00 00 90 01');
  });

  it('comes back as it went', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 255 }),
        fc.integer({ min: 1, max: 255 }),
        fc.uint8Array({ maxLength: 40 }),
        (code, identifier, data) => {
          expect(decodeSignal(encodeSignal({ code, identifier, data }))).toEqual({ code, identifier, data });
        },
      ),
    );
  });

  it.each(['', '12', '12 01 08', '12 01 08 00 0c', '13 01 02 00 00 00 ff', '12 00 00 00'])('is not `%s`', (octets) => {
    expect(decodeSignal(fromHex(octets)!)).toBeUndefined();
  });

  it('carries a wish of 8 octets, no more and no fewer', () => {
    const wish = { intervalMin: 6, intervalMax: 3200, latency: 499, timeout: 3200 };
    expect(decodeParameterWish(encodeParameterWish(wish))).toEqual(wish);
    expect(decodeParameterWish(new Uint8Array(7))).toBeUndefined();
    expect(decodeParameterWish(new Uint8Array(9))).toBeUndefined();
  });
});

describe('wished parameters', () => {
  const good = { intervalMin: 24, intervalMax: 40, latency: 4, timeout: 400 };

  it('are allowed within the limits of Core Vol 4 Part E 7.8.12', () => {
    expect(isAllowedWish(good)).toBe(true);
    expect(isAllowedWish({ intervalMin: 6, intervalMax: 6, latency: 0, timeout: 10 })).toBe(true);
    expect(isAllowedWish({ intervalMin: 3200, intervalMax: 3200, latency: 2, timeout: 3200 })).toBe(true);
  });

  it.each([
    ['an interval below 7.5 ms', { intervalMin: 5 }],
    ['an interval above 4 s', { intervalMax: 3201 }],
    ['its ends in the wrong order', { intervalMin: 41 }],
    ['a latency above 499', { latency: 500, timeout: 3200 }],
    ['a timeout below 100 ms', { timeout: 9, latency: 0, intervalMin: 6, intervalMax: 6 }],
    ['a timeout above 32 s', { timeout: 3201 }],
    // 2 x (1 + 4) x 50 ms = 500 ms: the timeout must be more, not as much.
    ['a timeout that is no more than twice the longest silence', { timeout: 50 }],
  ])('may not have %s', (_, change) => {
    expect(isAllowedWish({ ...good, ...change })).toBe(false);
  });

  it('may have a timeout just above twice the longest silence', () => {
    expect(isAllowedWish({ ...good, timeout: 51 })).toBe(true);
  });
});
