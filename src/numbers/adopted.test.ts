import { describe, expect, test } from 'vitest';
import { compare, floor, isInteger, divide, multiply, powerOf, rational, showRational } from '../base/rational.ts';
import { deviceFormats, timeFormats } from './adopted-device.ts';
import { environmentFormats } from './adopted-environment.ts';
import { quantityFormats } from './adopted-quantity.ts';
import type { AdoptedInteger, AdoptedType } from './adopted-type.ts';
import {
  adoptedByUuid,
  adoptedCharacteristic,
  adoptedCharacteristics,
  adoptedService,
  adoptedServices,
} from './adopted.ts';
import { characteristics } from './characteristics.ts';
import { unitByCode } from './units.ts';

function integersOf(type: AdoptedType): readonly AdoptedInteger[] {
  if (type.kind === 'integer') return [type];
  return type.kind === 'struct' ? type.fields.flatMap((field) => integersOf(field.type)) : [];
}

const integers = adoptedCharacteristics.flatMap(({ name, type }) =>
  integersOf(type).map((integer): [string, AdoptedInteger] => [name, integer]),
);

test('every format belongs to an assigned characteristic', () => {
  const names = [deviceFormats, timeFormats, environmentFormats, quantityFormats].flatMap((table) =>
    Object.keys(table),
  );
  for (const name of names) expect([name, characteristics.byName(name) !== undefined]).toEqual([name, true]);
  expect(new Set(names).size).toBe(names.length);
  expect(adoptedCharacteristics).toHaveLength(names.length);
});

describe.each(integers)('%s', (_, type) => {
  const factor = multiply(
    multiply(rational(type.scale.multiplier), powerOf(10n, type.scale.decimal)),
    powerOf(2n, type.scale.binary),
  );
  const top = 1n << BigInt(type.signed ? type.bits - 1 : type.bits);

  test('its range is what its width can code, in whole codes', () => {
    const min = divide(type.range.min, factor);
    const max = divide(type.range.max, factor);
    expect(compare(type.range.min, type.range.max)).toBeLessThan(0);
    expect(floor(min)).toBeGreaterThanOrEqual(type.signed ? -top : 0n);
    expect(floor(max)).toBeLessThan(top);
    expect(isInteger(max)).toBe(true);
    expect(isInteger(min)).toBe(true);
  });

  test('its special codes fit the width and lie outside the range', () => {
    const min = floor(divide(type.range.min, factor));
    const max = floor(divide(type.range.max, factor));
    for (const { code } of type.special) {
      expect(code >= (type.signed ? -top : 0n) && code < top).toBe(true);
      expect(code < min || code > max).toBe(true);
    }
  });

  test('its unit is assigned', () => {
    expect(unitByCode(type.unit)).toBeDefined();
  });
});

// GATT Specification Supplement: temperature 2A6E, humidity 2A6F as quoted in public documents; pressure from memory.
test.each([
  ['temperature', true, 16, -2, 0x272f, '-273.15', '327.67', [-0x8000n]],
  ['humidity', false, 16, -2, 0x27ad, '0', '100', [0xffffn]],
  ['pressure', false, 32, -1, 0x2724, '0', '429496729.5', []],
  ['battery-level', false, 8, 0, 0x27ad, '0', '100', []],
  ['elevation', true, 24, -2, 0x2701, '-83886.08', '83886.07', []],
])('format of %s', (name, signed, bits, decimal, unit, min, max, special) => {
  const type = adoptedCharacteristic(name)?.type;
  expect(type).toMatchObject({ kind: 'integer', signed, bits, unit, scale: { multiplier: 1, decimal, binary: 0 } });
  const [integer] = integersOf(type!);
  expect([integer!.range.min, integer!.range.max].map((bound) => showRational(bound))).toEqual([min, max]);
  expect(integer!.special.map(({ code }) => code)).toEqual(special);
});

test('look-ups', () => {
  expect(adoptedCharacteristic('temperature')).toBe(adoptedByUuid(characteristics.byName('temperature')!.uuid));
  expect(adoptedCharacteristic('temperature')?.label).toBe('Temperature');
  expect(adoptedCharacteristic('heart-rate-measurement')).toBeUndefined();
  expect(adoptedCharacteristic('toString')).toBeUndefined();
  expect(adoptedService('heart-rate')).toBeUndefined();
});

test('services come with what they demand', () => {
  const battery = adoptedService('battery');
  expect(battery?.uuid).toBe('180F');
  expect(battery?.characteristics).toMatchObject([
    { name: 'battery-level', access: ['read', 'notify'], minSpacing: 60_000_000 },
  ]);
  const sensing = adoptedService('environmental-sensing')?.characteristics.map((entry) => entry.name);
  expect(sensing).toEqual(['temperature', 'humidity', 'pressure']);
  expect(new Set(adoptedServices.map((entry) => entry.uuid)).size).toBe(adoptedServices.length);
});

// GATT Specification Supplement (from memory).
test('the System ID is 8 octets and the PnP ID 7', () => {
  const bits = (type: AdoptedType): number => {
    if (type.kind === 'struct') return type.fields.reduce((sum, field) => sum + bits(field.type), 0);
    return type.kind === 'integer' || type.kind === 'enum' ? type.bits : 0;
  };
  expect(bits(adoptedCharacteristic('system-id')!.type)).toBe(64);
  expect(bits(adoptedCharacteristic('pnp-id')!.type)).toBe(56);
});
