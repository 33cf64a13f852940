import { expect, test } from 'vitest';
import { adType, adTypeLabel, adTypes } from './ad-types.ts';
import { attError, attErrorName, attErrors, isApplicationError } from './att-errors.ts';
import { isCommand, isSigned, opcode, opcodeEntry, opcodeLabel, opcodes } from './att-opcodes.ts';
import { formatByCode, formatByName, formats } from './formats.ts';
import { property, propertyWords } from './properties.ts';

test('every opcode has its entry and its kind', () => {
  expect(opcodes.map((entry) => entry.code)).toEqual(Object.values(opcode));
  for (const { code, label, kind } of opcodes) {
    expect(label.toLowerCase()).toContain(kind);
    expect(isCommand(code)).toBe(kind === 'command');
    expect(isSigned(code)).toBe(label.startsWith('Signed'));
    // A response is its request's opcode plus one (Core Vol 3 Part F 3.4.8); the error response answers any request.
    if (kind === 'response' && code !== opcode.errorResponse) expect(opcodeEntry(code - 1)?.kind).toBe('request');
  }
});

// Core Vol 3 Part F 3.4.8.
test.each([
  [0x01, 'Error Response'],
  [0x0a, 'Read Request'],
  [0x1b, 'Handle Value Notification'],
  [0x52, 'Write Command'],
  [0xd2, 'Signed Write Command'],
  [0x7f, 'opcode 0x7f'],
])('opcode %i', (code, label) => {
  expect(opcodeLabel(code)).toBe(label);
});

// Core Vol 3 Part F 3.4.1.1 and Core Specification Supplement Part B.
test.each([
  [0x01, 'Invalid Handle'],
  [0x0d, 'Invalid Attribute Value Length'],
  [0x12, 'Database Out Of Sync'],
  [0x13, 'Value Not Allowed'],
  [0x14, 'reserved error 0x14'],
  [0x80, 'application error 0x80'],
  [0x9f, 'application error 0x9F'],
  [0xa0, 'reserved error 0xA0'],
  [0xe0, 'common profile error 0xE0'],
  [0xfc, 'Write Request Rejected'],
  [0xff, 'Out of Range'],
])('error %i', (code, label) => {
  expect(attErrorName(code)).toBe(label);
});

test('every error has its entry', () => {
  expect(attErrors.map((entry) => entry.code)).toEqual(Object.values(attError));
  expect([0x7f, 0x80, 0x9f, 0xa0].map(isApplicationError)).toEqual([false, true, true, false]);
});

// Bluetooth SIG Assigned Numbers, section 2.3.
test('AD types', () => {
  expect(adTypes).toHaveLength(50);
  expect(adTypeLabel(0x07)).toBe('Complete List of 128-bit Service Class UUIDs');
  expect(adTypeLabel(0xff)).toBe('Manufacturer Specific Data');
  expect(adTypeLabel(0x0b)).toBeUndefined();
  for (const type of Object.values(adType)) expect(adTypes).toContain(type);
});

// Core Vol 3 Part G 3.3.3.5.2.
test.each([
  ['boolean', 0x01],
  ['uint8', 0x04],
  ['uint24', 0x07],
  ['sint16', 0x0e],
  ['float64', 0x15],
  ['medfloat16', 0x16],
  ['medfloat32', 0x17],
  ['utf8', 0x19],
  ['struct', 0x1b],
])('format %s', (name, code) => {
  expect(formatByName(name)?.code).toBe(code);
  expect(formatByCode(code)?.name).toBe(name);
});

test('formats without a code', () => {
  expect(formats.map((format) => format.code)).toEqual(Array.from({ length: 28 }, (_, i) => i + 1));
  expect(formatByName('uint40')).toBeUndefined();
  expect(formatByCode(0)).toBeUndefined();
});

test('property words, lowest bit first', () => {
  expect(propertyWords(0xa2)).toEqual(['read', 'indicate', 'extended properties']);
  expect(propertyWords(0xff)).toHaveLength(8);
  expect(Object.values<number>(property).reduce((all, bit) => all | bit)).toBe(0xff);
});
