import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phy } from '../contract/model.ts';
import {
  advertisingPayload,
  connectPayload,
  dataPacketTime,
  packetTime,
  pairTime,
  scanRequestPayload,
} from './air-time.ts';

const phys: readonly Phy[] = ['1M', '2M', 'coded-s2', 'coded-s8'];

describe('time on air', () => {
  // Core Vol 6 Part B 4.5.10 gives 328, 2120, 2704 and 17040 µs as the limits of data length; the rest recomputed from 2.1, 2.2.
  it.each<[Phy, number, boolean, number]>([
    ['1M', 0, false, 80],
    ['1M', 0, true, 112],
    ['1M', 27, false, 296],
    ['1M', 27, true, 328],
    ['1M', 251, false, 2088],
    ['1M', 251, true, 2120],
    ['2M', 0, false, 44],
    ['2M', 0, true, 60],
    ['2M', 27, false, 152],
    ['2M', 27, true, 168],
    ['2M', 251, false, 1048],
    ['2M', 251, true, 1064],
    ['coded-s2', 0, false, 462],
    ['coded-s2', 0, true, 526],
    ['coded-s2', 27, false, 894],
    ['coded-s2', 27, true, 958],
    ['coded-s2', 251, false, 4478],
    ['coded-s2', 251, true, 4542],
    ['coded-s8', 0, false, 720],
    ['coded-s8', 0, true, 976],
    ['coded-s8', 27, false, 2448],
    ['coded-s8', 27, true, 2704],
    ['coded-s8', 251, false, 16784],
    ['coded-s8', 251, true, 17040],
    ['1M', scanRequestPayload, false, 176],
    ['1M', connectPayload, false, 352],
    ['1M', advertisingPayload(31), false, 376],
    ['coded-s8', connectPayload, false, 2896],
    ['coded-s2', advertisingPayload(31), false, 1054],
    ['2M', 255, false, 1064],
  ])('%s, %i octets, MIC %s: %i µs', (phy, payload, mic, expected) => {
    expect(packetTime(phy, payload, mic)).toBe(expected);
  });

  it('gives an encrypted packet a MIC unless it is empty', () => {
    expect(dataPacketTime('1M', 0, true)).toBe(80);
    expect(dataPacketTime('1M', 1, true)).toBe(packetTime('1M', 5, false));
  });

  // Gomez, Oller, Paradells, Sensors 2012, 12(9), 11734: the least time to read one value is 676 µs.
  it('takes 676 µs for the shortest exchange with a full packet of 27 octets', () => {
    expect(pairTime('1M', 27, 0, false)).toBe(676);
    expect(pairTime('1M', 0, 27, false)).toBe(676);
  });

  it('grows with every octet and is a whole number', () => {
    fc.assert(
      fc.property(fc.constantFrom(...phys), fc.nat(254), fc.boolean(), (phy, payload, mic) => {
        const time = packetTime(phy, payload, mic);
        expect(Number.isInteger(time) && time > 0).toBe(true);
        expect(packetTime(phy, payload + 1, mic)).toBeGreaterThan(time);
      }),
      { numRuns: 200 },
    );
  });
});
