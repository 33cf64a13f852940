import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toHex } from './bytes.ts';
import {
  isShortUuid,
  longUuid,
  parseUuid,
  shortUuidValue,
  uuid16,
  uuidBytes,
  uuidFromBytes,
  uuidInSlot,
  type Uuid,
} from './uuid.ts';

const arbitraryUuid = fc.oneof(
  fc.nat(0xffff).map(uuid16),
  fc.uint8Array({ minLength: 16, maxLength: 16 }).map((bytes) => uuidFromBytes(bytes)!),
);

describe('texts', () => {
  it.each([
    ['180f', '180F'],
    ['0x180F', '180F'],
    [' 2A6E ', '2A6E'],
    ['0000180F-0000-1000-8000-00805F9B34FB', '180F'],
    ['6B1D0000-0F5E-4C3A-9A77-2F0C5B8E41D0', '6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0'],
    ['0001180f-0000-1000-8000-00805f9b34fb', '0001180f-0000-1000-8000-00805f9b34fb'],
  ])('reads %s as %s', (text, uuid) => {
    expect(parseUuid(text)).toBe(uuid);
  });

  it.each([
    '',
    '18',
    '180',
    '180FF',
    '0x',
    'g80f',
    '6b1d00000f5e4c3a9a772f0c5b8e41d0',
    '{180F}',
    '-180F',
    '6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d',
  ])('does not read %j', (text) => {
    expect(parseUuid(text)).toBeUndefined();
  });

  it('has one text for each UUID', () => {
    fc.assert(
      fc.property(arbitraryUuid, (uuid) => {
        expect(parseUuid(uuid)).toBe(uuid);
        expect(parseUuid(longUuid(uuid).toUpperCase())).toBe(uuid);
        expect(longUuid(uuid)).toHaveLength(36);
        expect(isShortUuid(uuid)).toBe(shortUuidValue(uuid) !== undefined);
      }),
    );
  });

  it('refuses what is no 16-bit number as a mistake of ours', () => {
    expect(() => uuid16(0x10000)).toThrow(/bug/);
  });
});

describe('octets', () => {
  // Core Vol 3 Part B 2.5.1: value * 2^96 + base.
  it('expands a 16-bit UUID on the Bluetooth Base UUID', () => {
    const long = longUuid(uuid16(0x180f));
    expect(long).toBe('0000180f-0000-1000-8000-00805f9b34fb');
    const value = BigInt(`0x${long.replaceAll('-', '')}`);
    expect(value).toBe(0x180fn * 2n ** 96n + 0x0000000000001000800000805f9b34fbn);
  });

  it('puts the least significant octet first', () => {
    expect(toHex(uuidBytes('180F' as Uuid))).toBe('0f18');
    // The octets of 0x180F in its long form: Core Vol 3 Part B 2.5.1, recomputed.
    expect(uuidFromBytes(Uint8Array.from(Buffer.from('fb349b5f80000080001000000f180000', 'hex')))).toBe('180F');
    expect(toHex(uuidBytes(parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!))).toBe(
      'd0418e5b0c2f779a3a4c5e0f01001d6b',
    );
  });

  it('gives back what it takes and has nothing for other lengths', () => {
    fc.assert(
      fc.property(arbitraryUuid, (uuid) => {
        expect(uuidFromBytes(uuidBytes(uuid))).toBe(uuid);
      }),
    );
    for (const length of [0, 1, 3, 4, 15, 17]) expect(uuidFromBytes(new Uint8Array(length))).toBeUndefined();
  });

  it('puts a slot into the third and fourth octet', () => {
    expect(uuidInSlot('6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0' as Uuid, 0xab12)).toBe(
      '6b1dab12-0f5e-4c3a-9a77-2f0c5b8e41d0',
    );
  });
});
