import { describe, expect, test } from 'vitest';
import { unitByCode, unitByName, units, unitsBySymbol, unitsMeasuredIn, unitSymbol } from './units.ts';
import { unitRows } from './unit-table.ts';

test('all 127 units, ascending', () => {
  expect(units).toHaveLength(127);
  const codes = units.map((unit) => unit.code);
  expect(codes).toEqual([...new Set(codes)].sort((a, b) => a - b));
});

test('short names are unique and in lower case', () => {
  expect(new Set(units.map((unit) => unit.name)).size).toBe(units.length);
  for (const { name } of units) expect(name).toMatch(/^[a-zåö][a-zåö -]*$/);
});

test('no spelling of one unit finds another', () => {
  for (const [code, , name, , ...aliases] of unitRows) {
    const { label } = unitByCode(code)!;
    for (const text of [label, name, ...aliases, label.toUpperCase(), name.replaceAll(' ', '-')]) {
      expect([text, unitByName(text)?.code]).toEqual([text, code]);
    }
  }
});

// Codes: Bluetooth SIG Assigned Numbers. 0x272F is degree Celsius and 0x272D is tesla; samples in the field mix them up.
test.each([
  ['hertz', 0x2722, 'Hz'],
  ['frequency (hertz)', 0x2722, 'Hz'],
  ['degree celsius', 0x272f, '°C'],
  ['Celsius temperature (degree Celsius)', 0x272f, '°C'],
  ['degrees Celsius', 0x272f, '°C'],
  ['tesla', 0x272d, 'T'],
  ['metre', 0x2701, 'm'],
  ['meters', 0x2701, 'm'],
  ['metre per second', 0x2712, 'm/s'],
  ['metres-per-second', 0x2712, 'm/s'],
  ['metre per second squared', 0x2713, 'm/s²'],
  ['percentage', 0x27ad, '%'],
  ['unitless', 0x2700, ''],
  ['volt', 0x2728, 'V'],
  ['ohms', 0x272a, 'Ω'],
  ['pascal', 0x2724, 'Pa'],
  ['lux', 0x2731, 'lx'],
  ['siemens', 0x272b, 'S'],
  ['degree fahrenheit', 0x27ac, '°F'],
  ['parts per million', 0x27c4, 'ppm'],
  ['minute', 0x2760, 'min'],
  ['minute of arc', 0x2764, '′'],
  ['plane angle (minute)', 0x2764, '′'],
  ['degree', 0x2763, '°'],
  ['feet', 0x27a3, 'ft'],
])('%s', (text, code, symbol) => {
  expect(unitByName(text)?.code).toBe(code);
  expect(unitSymbol(code)).toBe(symbol);
});

describe('a text that is no name', () => {
  test.each(['', ' ', 'Hz', 'furlong', 'metre second', 'watt per square metre', '0x2722', 'm'.repeat(1_000_000)])(
    '%.30s',
    (text) => {
      expect(unitByName(text)).toBeUndefined();
    },
  );

  test('may be a symbol', () => {
    const names = (text: string): string[] => unitsBySymbol(text).map((unit) => unit.name);
    expect(names('Hz')).toEqual(['hertz']);
    expect(names('m/s^2')).toEqual(['metre per second squared']);
    expect(names('W/m2')).toEqual(['heat flux density', 'irradiance']);
    expect(names('mhz')).toEqual([]);
    expect(names('')).toEqual([]);
  });

  test('may be what several quantities are measured in', () => {
    const names = unitsMeasuredIn('watts per square metre').map((unit) => unit.name);
    expect(names).toEqual(['heat flux density', 'irradiance']);
  });
});

test('a number that is no unit has no symbol', () => {
  expect(unitByCode(0x2708)).toBeUndefined();
  expect(unitSymbol(0x2708)).toBe('');
});
