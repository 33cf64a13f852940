import { describe, expect, it } from 'vitest';
import { integerType } from '../../../test/support/arbitrary-drive.ts';
import { parseRational, rational } from '../../base/rational.ts';
import { explainDrive } from './explain.ts';
import type { Drive } from './model.ts';

const hertz = integerType({ bits: 16, decimal: -2, unit: 0x2722 });
const percent = integerType({ bits: 8, unit: 0x27ad });
const volts = integerType({ bits: 16, decimal: -3, unit: 0x2728 });
const tone: Drive = { kind: 'phase-accumulator', width: 32, clock: rational(20_000) };
const timer: Drive = {
  kind: 'timer',
  clock: rational(16_000_000),
  prescalers: [1, 8, 64, 256, 1024],
  reloadBits: 16,
  of: 'frequency',
};

const lines: readonly (readonly [Drive, typeof hertz, string, string])[] = [
  [tone, hertz, '0.5', 'word 0x0001A36E, really ≈0.499999151 Hz, error ≈-849 nHz'],
  [tone, hertz, '0', 'word 0x00000000, really 0 Hz, exact'],
  [tone, hertz, '440', 'word 0x05A1CAC1, really ≈440.00000227 Hz, error ≈+2.27 µHz'],
  [
    tone,
    hertz,
    '12000',
    'word 0x80000000, really 10000 Hz, error -2000 Hz; 12000 Hz is above 10000 Hz, half the clock',
  ],
  [timer, hertz, '0.5', 'prescaler 1024, reload 0x7A11, really 0.5 Hz, exact'],
  [timer, hertz, '440', 'prescaler 1, reload 0x8E0B, really ≈439.9956 Hz, error ≈-4.4 mHz'],
  [timer, hertz, '0', 'stopped, really 0 Hz, exact'],
  [{ kind: 'pwm-duty', top: 255, full: rational(100) }, percent, '33', 'word 0x54, really 32.8125 %, error -0.1875 %'],
  [
    { kind: 'adc', bits: 12, reference: rational(33, 10), gain: rational(1) },
    volts,
    '1',
    'reading 0x4D9, really ≈0.999829 V, error ≈-171 µV',
  ],
  [
    {
      kind: 'table',
      bits: 10,
      points: [
        { value: rational(0), word: 0 },
        { value: rational(3), word: 1000 },
      ],
    },
    volts,
    '1',
    'word 0x14D, really 0.999 V, error -1 mV',
  ],
];

describe('the line about a value', () => {
  it.each(lines)('%# says what the registers hold and what comes out', (drive, type, value, line) => {
    expect(explainDrive(drive, type, parseRational(value)!)).toBe(line);
  });

  it('says why there is none', () => {
    const float = { kind: 'float', format: 'float64', unit: 0x2722, range: undefined, step: undefined } as const;
    expect(explainDrive(tone, float, rational(1))).toBe(
      'a drive counts in whole steps and needs an integer type; this is float64',
    );
  });

  it('keeps to the plain unit where it takes no prefix', () => {
    const turns = integerType({ bits: 16, unit: 0x27a8 });
    expect(explainDrive({ ...tone, clock: rational(1000) }, turns, rational(7))).toBe(
      'word 0x0007A558, really ≈7.00000674 r/min, error ≈+0.00000674 r/min',
    );
  });
});
