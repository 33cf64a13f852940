import { fromMemory, type AdoptedFormat } from './adopted-format.ts';
import { choice, float, sint, uint, type AdoptedType } from './adopted-type.ts';

const unknown8 = { unknown: 0xff };
const unknown16 = { unknown: 0xffff };
const unknown24 = { unknown: 0xffffff };

const duration = (bits: 8 | 16 | 32, max: string, unknown: number): AdoptedType =>
  uint(bits, { unit: 'second', range: ['0', max], special: { unknown } });

/** Formats of general quantities: electricity, light, flow, time, counts. */
export const quantityFormats: Readonly<Record<string, AdoptedFormat>> = {
  boolean: fromMemory({ kind: 'boolean' }),
  coefficient: fromMemory(float('float32', 'unitless')),
  'count-16': fromMemory(uint(16, { range: ['0', '65534'], special: unknown16 })),
  'count-24': fromMemory(uint(24, { range: ['0', '16777214'], special: unknown24 })),
  'generic-level': fromMemory(uint(16)),
  'percentage-8': fromMemory(
    uint(8, { unit: 'percentage', multiplier: 5, decimal: -1, range: ['0', '100'], special: unknown8 }),
  ),
  'temperature-8': fromMemory(
    sint(8, {
      unit: 'degree celsius',
      multiplier: 5,
      decimal: -1,
      range: ['-64', '63'],
      special: { unknown: 0x7f },
    }),
  ),
  'correlated-color-temperature': fromMemory(uint(16, { unit: 'kelvin', range: ['800', '65534'], special: unknown16 })),
  'cosine-of-the-angle': fromMemory(sint(8, { decimal: -2, range: ['-1', '1'], special: { unknown: 0x7f } })),
  'electric-current': fromMemory(uint(16, { unit: 'ampere', decimal: -2, range: ['0', '655.34'], special: unknown16 })),
  voltage: fromMemory(uint(16, { unit: 'volt', binary: -6, range: ['0', '1022'], special: unknown16 })),
  power: fromMemory(uint(24, { unit: 'watt', decimal: -1, range: ['0', '1677721.4'], special: unknown24 })),
  energy: fromMemory(uint(24, { unit: 'kilowatt hour', range: ['0', '16777214'], special: unknown24 })),
  'energy-32': fromMemory(
    uint(32, {
      unit: 'kilowatt hour',
      decimal: -3,
      range: ['0', '4294967.293'],
      special: { 'not valid': 0xfffffffe, unknown: 0xffffffff },
    }),
  ),
  'apparent-power': fromMemory(
    uint(24, {
      unit: 'volt ampere',
      decimal: -1,
      range: ['0', '1677721.3'],
      special: { 'not valid': 0xfffffe, unknown: 0xffffff },
    }),
  ),
  'apparent-energy-32': fromMemory(
    uint(32, {
      unit: 'kilovolt ampere hour',
      decimal: -3,
      range: ['0', '4294967.293'],
      special: { 'not valid': 0xfffffffe, unknown: 0xffffffff },
    }),
  ),
  illuminance: fromMemory(uint(24, { unit: 'lux', decimal: -2, range: ['0', '167772.14'], special: unknown24 })),
  'luminous-efficacy': fromMemory(
    uint(16, { unit: 'lumen per watt', decimal: -1, range: ['0', '1800'], special: unknown16 }),
  ),
  'luminous-energy': fromMemory(
    uint(24, { unit: 'lumen hour', decimal: 3, range: ['0', '16777214000'], special: unknown24 }),
  ),
  'luminous-exposure': fromMemory(
    uint(24, { unit: 'lux hour', decimal: 3, range: ['0', '16777214000'], special: unknown24 }),
  ),
  'luminous-flux': fromMemory(uint(16, { unit: 'lumen', range: ['0', '65534'], special: unknown16 })),
  'luminous-intensity': fromMemory(uint(16, { unit: 'candela', range: ['0', '65534'], special: unknown16 })),
  'perceived-lightness': fromMemory(uint(16)),
  'chromaticity-coordinate': fromMemory(uint(16, { binary: -16 })),
  'mass-flow': fromMemory(uint(16, { unit: 'gram per second', range: ['0', '65534'], special: unknown16 })),
  'volume-flow': fromMemory(
    uint(16, { unit: 'litre per second', decimal: -3, range: ['0', '65.534'], special: unknown16 }),
  ),
  'time-decihour-8': fromMemory(uint(8, { unit: 'hour', decimal: -1, range: ['0', '23.9'], special: unknown8 })),
  'time-hour-24': fromMemory(uint(24, { unit: 'hour', range: ['0', '16777214'], special: unknown24 })),
  'time-millisecond-24': fromMemory(
    uint(24, { unit: 'second', decimal: -3, range: ['0', '16777.214'], special: unknown24 }),
  ),
  'time-second-8': fromMemory(duration(8, '254', 0xff)),
  'time-second-16': fromMemory(duration(16, '65534', 0xffff)),
  'time-second-32': fromMemory(duration(32, '4294967294', 0xffffffff)),
  'measurement-interval': fromMemory(
    uint(16, { unit: 'second', range: ['1', '65535'], special: { 'no periodic measurement': 0 } }),
  ),
  'temperature-type': fromMemory(
    choice({
      1: 'armpit',
      2: 'body',
      3: 'ear',
      4: 'finger',
      5: 'gastro-intestinal tract',
      6: 'mouth',
      7: 'rectum',
      8: 'toe',
      9: 'tympanum',
    }),
  ),
  'body-sensor-location': fromMemory(
    choice({ 0: 'other', 1: 'chest', 2: 'wrist', 3: 'finger', 4: 'hand', 5: 'ear lobe', 6: 'foot' }),
  ),
  age: fromMemory(uint(8, { unit: 'year' })),
  height: fromMemory(uint(16, { unit: 'metre', decimal: -2 })),
  weight: fromMemory(uint(16, { unit: 'kilogram', multiplier: 5, decimal: -3 })),
  'heart-rate-max': fromMemory(uint(8, { unit: 'beats per minute' })),
  'resting-heart-rate': fromMemory(uint(8, { unit: 'beats per minute' })),
};
