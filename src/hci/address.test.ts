import { describe, expect, it } from 'vitest';
import { addressFromOctets, addressOctets, deviceKey } from './address.ts';

describe('device addresses', () => {
  // Core Vol 4 Part E 5.2: the least significant octet comes first.
  it('are written most significant octet first', () => {
    const octets = Uint8Array.of(0x66, 0x55, 0x44, 0x33, 0x22, 0xc1);
    expect(addressFromOctets(octets)).toBe('c1:22:33:44:55:66');
    expect(addressOctets('C1:22:33:44:55:66')).toEqual(octets);
  });

  it('are six octets', () => {
    expect(addressOctets('c1:22:33:44:55')).toBeUndefined();
    expect(addressOctets('c1:22:33:44:55:6g')).toBeUndefined();
  });

  it('are known by their type too', () => {
    expect(deviceKey({ type: 0, address: 'a' })).not.toBe(deviceKey({ type: 1, address: 'a' }));
  });
});
