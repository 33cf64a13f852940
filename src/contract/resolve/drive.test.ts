import { describe, expect, it } from 'vitest';
import { benchWith } from '../../../test/support/contract-text.ts';
import { rational } from '../../base/rational.ts';
import { everyCharacteristic } from '../model.ts';
import { parseContract } from '../parse.ts';

const read = (value: string, drive: string, access = '[read, write]') =>
  parseContract(benchWith(`id: it, access: ${access}, ${value}, drive: { ${drive} }`));

describe('drives', () => {
  it.each([
    [
      'type: uint16, unit: hertz',
      'kind: phase-accumulator, width: 32, clock: 20 kHz',
      { width: 32, clock: rational(20_000) },
    ],
    ['type: uint16, unit: hertz', 'kind: timer, clock: 1 MHz', { of: 'frequency', prescalers: [1], reloadBits: 16 }],
    [
      'type: uint16, unit: second',
      'kind: timer, clock: 1 MHz, prescalers: [64, 1, 8], reload: 32',
      { of: 'period', prescalers: [1, 8, 64], reloadBits: 32 },
    ],
    ['type: uint8, unit: percentage', 'kind: pwm-duty, top: 999', { top: 999, full: rational(100) }],
    ['type: uint8', 'kind: pwm-duty, bits: 10, full: 255', { top: 1023, full: rational(255) }],
    ['type: uint8, unit: volt', 'kind: pwm-duty, bits: 8', { top: 255, full: rational(1) }],
    [
      'type: sint8, unit: degree',
      'kind: pulse-width, clock: 1 MHz, from: { value: -90, width: 1 ms }, to: { value: 90, width: 2 ms }',
      { bits: 16, from: { value: rational(-90), width: rational(1, 1000) } },
    ],
    [
      'type: uint16, unit: volt',
      'kind: dac, bits: 12, reference: 3.3',
      { reference: rational(33, 10), gain: rational(1) },
    ],
    ['type: uint16, unit: volt', 'kind: adc, bits: 12, reference: 3.3, gain: 0.5', { gain: rational(1, 2) }],
    [
      'type: uint8',
      'kind: table, points: [[0, 0], [50.5, 900], [100, 0x0FFF]]',
      { bits: 16, points: [{}, { value: rational(101, 2), word: 900 }, { word: 4095 }] },
    ],
  ])('%s with %s', (value, drive, expected) => {
    const { value: contract, findings } = read(value, drive);
    expect(findings).toEqual([]);
    expect(everyCharacteristic(contract!)[0]?.characteristic.drive).toMatchObject(expected);
  });

  it.each([
    ['type: boolean', 'kind: pwm-duty, top: 9', 'drive-not-for-value'],
    ['type: float32, unit: hertz', 'kind: timer, clock: 1 MHz', 'drive-not-for-value'],
    ['type: utf8, length: 4', 'kind: dac, bits: 12, reference: 3', 'drive-not-for-value'],
    ['type: uint8, unit: metre', 'kind: phase-accumulator, width: 32, clock: 20 kHz', 'drive-not-for-value'],
    ['type: uint8, unit: metre', 'kind: timer, clock: 1 MHz', 'timer-quantity-unclear'],
    ['type: uint8, unit: metre', 'kind: timer, clock: 1 MHz, of: period', 'drive-not-for-value'],
    ['type: uint8', 'kind: pwm-duty', 'missing-key'],
    ['type: uint8', 'kind: pwm-duty, top: 9, bits: 3', 'said-in-two-ways'],
    ['type: uint8', 'kind: pwm-duty, top: 0', 'out-of-bounds'],
    ['type: uint8', 'kind: stepper', 'unknown-word'],
    ['type: uint8', 'width: 32', 'missing-key'],
    ['type: uint8', 'kind: dac, bits: 12', 'missing-key'],
    ['type: uint8', 'kind: dac, bits: 25, reference: 3', 'out-of-bounds'],
    ['type: uint8', 'kind: dac, bits: 12, reference: -3', 'not-above-zero'],
    ['type: uint8', 'kind: table, points: [[0, 0]]', 'list-length'],
    ['type: uint8', 'kind: table, points: [[5, 0], [4, 1]]', 'drive-form'],
    ['type: uint8', 'kind: table, points: [[0, 0, 1], [4, 1]]', 'list-length'],
    ['type: uint8', 'kind: table, points: [[0, 0.5], [4, 1]]', 'not-a-whole-number'],
    [
      'type: uint8',
      'kind: pulse-width, clock: 1 MHz, from: { value: 1, width: 1 ms }, to: { value: 1, width: 2 ms }',
      'drive-form',
    ],
    ['type: uint8', 'kind: timer, clock: 20', 'quantity-form'],
    ['type: uint8', 'kind: adc, bits: 12, reference: 3, width: 4', 'unknown-key'],
  ])('%s with %s is refused', (value, drive, code) => {
    expect(read(value, drive).findings.map((finding) => finding.code)).toEqual([code]);
  });

  it('make an actuator of what clients can write, unless they only look', () => {
    const actuator = (drive: string, access?: string): unknown =>
      everyCharacteristic(read('type: uint16, unit: volt', drive, access).value!)[0]?.characteristic.actuator;
    expect(actuator('kind: dac, bits: 12, reference: 3')).toBe(true);
    expect(actuator('kind: dac, bits: 12, reference: 3', '[write-without-response]')).toBe(true);
    expect(actuator('kind: dac, bits: 12, reference: 3', '[read]')).toBe(false);
    expect(actuator('kind: adc, bits: 12, reference: 3')).toBe(false);
    expect(actuator('kind: dac, bits: 12, reference: 3 }, actuator: false, label: {')).toBeUndefined();
  });
});
