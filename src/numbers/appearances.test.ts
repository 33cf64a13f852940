import { expect, test } from 'vitest';
import { appearanceByName, appearanceLabel, appearances } from './appearances.ts';

// Bluetooth SIG Assigned Numbers, section 2.6.
test.each([
  ['generic-sensor', 0x0540],
  ['sensor', 0x0540],
  ['temperature-sensor', 0x0543],
  ['Temperature sensor', 0x0543],
  ['thermometer', 0x0300],
  ['generic-thermometer', 0x0300],
  ['unknown', 0x0000],
  ['pulse-oximeter', 0x0c40],
  ['running-walking-sensor', 0x0440],
  ['multi-sensor', 0x0552],
  ['multisensor', 0x0556],
])('%s', (name, value) => {
  expect(appearanceByName(name)?.value).toBe(value);
});

test('names and values are unique', () => {
  expect(appearances).toHaveLength(51 + 26);
  expect(new Set(appearances.map((entry) => entry.name)).size).toBe(appearances.length);
  const values = appearances.map((entry) => entry.value);
  expect(values).toEqual([...new Set(values)].sort((a, b) => a - b));
});

// 0x0C42 stands in a captured advertising packet: category 0x31, subcategory 2.
test.each([
  [0x0543, 'Temperature sensor'],
  [0x0c42, 'Pulse oximeter, subcategory 2'],
  [0x0300, 'Thermometer'],
  [0xffff, 'not assigned'],
])('%i for people', (value, label) => {
  expect(appearanceLabel(value)).toBe(label);
});

test('what is not assigned is not found', () => {
  expect(appearanceByName('toaster')).toBeUndefined();
  expect(appearanceByName('')).toBeUndefined();
});
