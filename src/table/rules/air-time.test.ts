import { describe, expect, it } from 'vitest';
import { exchangeTime, notificationPackets, packetTime } from './air-time.ts';

/**
 * Microseconds by payload octets. 328, 2120, 2704 and 17040 are quoted from the standard (maximum transmit times); the
 * others are the packet formats of Core Vol 6 Part B 2.1 and 2.2, recomputed.
 */
const times = {
  '1M': { 0: 80, 12: 176, 27: 296, 31: 328, 251: 2088, 255: 2120 },
  '2M': { 0: 44, 12: 92, 27: 152, 31: 168, 251: 1048, 255: 1064 },
  'coded-s2': { 0: 462, 12: 654, 27: 894, 31: 958, 251: 4478, 255: 4542 },
  'coded-s8': { 0: 720, 12: 1488, 27: 2448, 31: 2704, 251: 16784, 255: 17040 },
} as const;

describe('packetTime', () => {
  for (const [phy, byPayload] of Object.entries(times)) {
    it.each(Object.entries(byPayload))(`on ${phy}: %s octets take %d us`, (payload, time) => {
      expect(packetTime(phy as keyof typeof times, Number(payload))).toBe(time);
    });
  }
});

describe('exchangeTime', () => {
  it('is data, space, empty answer, space', () => {
    // 2 x 150 us more than 1392 us and 2500 us less two spaces: throughput of 251 octets, recomputed.
    expect(exchangeTime('2M', 251)).toBe(1048 + 44 + 300);
    expect(exchangeTime('1M', 255)).toBe(2120 + 80 + 300);
    // Gomez, Oller, Paradells, Sensors 2012, 12(9), 11734: 676 us for one packet of 27 octets with its answer.
    expect(exchangeTime('1M', 27)).toBe(676);
  });
});

describe('notificationPackets', () => {
  it.each([
    [0, 27, [7]],
    [20, 27, [27]],
    [21, 27, [27, 1]],
    [182, 27, [27, 27, 27, 27, 27, 27, 27]],
    [182, 251, [189]],
    [244, 251, [251]],
    [245, 251, [251, 1]],
  ])('%d octets of value, %d to a packet', (length, dataLength, expected) => {
    expect(notificationPackets(length, dataLength)).toEqual(expected);
  });
});
