import { fromMemory, type AdoptedFormat } from './adopted-format.ts';
import { bits8, choice, sint, struct, text, uint } from './adopted-type.ts';

const level = { 0: 'no alert', 1: 'mild alert', 2: 'high alert' };

/** Formats of what a device says about itself, its battery, its alarms and its clock. */
export const deviceFormats: Readonly<Record<string, AdoptedFormat>> = {
  // Core Vol 3 Part C 12.1: at most 248 octets.
  'device-name': fromMemory(text(248)),
  appearance: fromMemory(uint(16)),
  'alert-level': fromMemory(choice(level)),
  // In dBm, for which no unit is assigned.
  'tx-power-level': fromMemory(sint(8, { range: ['-100', '20'] })),
  'battery-level': fromMemory(uint(8, { unit: 'percentage', range: ['0', '100'] })),
  'manufacturer-name-string': fromMemory(text()),
  'model-number-string': fromMemory(text()),
  'serial-number-string': fromMemory(text()),
  'hardware-revision-string': fromMemory(text()),
  'firmware-revision-string': fromMemory(text()),
  'software-revision-string': fromMemory(text()),
  'system-id': fromMemory(struct({ 'Manufacturer identifier': uint(40), 'Organisation identifier': uint(24) })),
  'ieee-11073-20601-regulatory-certification-data-list': fromMemory({ kind: 'bytes', minLength: 0, maxLength: 512 }),
  'pnp-id': fromMemory(
    struct({
      'Vendor ID source': choice({ 1: 'Bluetooth SIG', 2: 'USB Implementers Forum' }),
      'Vendor ID': uint(16),
      'Product ID': uint(16),
      'Product version': uint(16),
    }),
  ),
};

const weekday = choice({
  0: 'unknown',
  1: 'Monday',
  2: 'Tuesday',
  3: 'Wednesday',
  4: 'Thursday',
  5: 'Friday',
  6: 'Saturday',
  7: 'Sunday',
});

const dateTime = {
  Year: uint(16, { unit: 'year', range: ['1582', '9999'], special: { unknown: 0 } }),
  Month: uint(8, { unit: 'month', range: ['1', '12'], special: { unknown: 0 } }),
  Day: uint(8, { unit: 'day', range: ['1', '31'], special: { unknown: 0 } }),
  Hours: uint(8, { unit: 'hour', range: ['0', '23'] }),
  Minutes: uint(8, { unit: 'minute', range: ['0', '59'] }),
  Seconds: uint(8, { unit: 'second', range: ['0', '59'] }),
};

const exactTime = { ...dateTime, 'Day of week': weekday, 'Fractions of 256': uint(8, { unit: 'second', binary: -8 }) };

/** Formats of time and date. The nested structs of the standard are written out: the octets are the same. */
export const timeFormats: Readonly<Record<string, AdoptedFormat>> = {
  'date-time': fromMemory(struct(dateTime)),
  'day-of-week': fromMemory(weekday),
  'day-date-time': fromMemory(struct({ ...dateTime, 'Day of week': weekday })),
  'exact-time-256': fromMemory(struct(exactTime)),
  'current-time': fromMemory(
    struct({
      ...exactTime,
      'Adjust reason': bits8(
        'manual time update',
        'external reference time update',
        'change of time zone',
        'change of DST',
      ),
    }),
  ),
  'dst-offset': fromMemory(
    choice({ 0: 'standard time', 2: 'half an hour', 4: 'daylight time', 8: 'double daylight time', 255: 'unknown' }),
  ),
};
