import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readVectors, vectorTests } from '../../../test/support/read-vectors.ts';
import {
  absolute,
  add,
  compare,
  decimalPlaces,
  divide,
  equal,
  multiply,
  parseRational,
  powerOf,
  rational,
  subtract,
  type Rational,
} from '../../base/rational.ts';
import { arbitraryDrive, integerType } from '../../../test/support/arbitrary-drive.ts';
import { drivable, driveOutput, driveResolution, driveSpan, driveValue, driveWords } from './drive.ts';
import type { Drive } from './model.ts';

type DriveText = Record<string, unknown>;
type Input = { drive: DriveText; value?: string; words?: string[] };
type Output = { words?: string[]; value?: string; step?: string; limited?: string };

const file = readVectors<Input, Output>(new URL('../vectors/drives.json', import.meta.url));

function number(text: string): Rational {
  const value = parseRational(text);
  if (value === undefined) throw new Error(`${text} is no number`);
  return value;
}

/** Quantities stand as decimal text in the file. */
function readDrive(text: DriveText): Drive {
  const read = (value: unknown): unknown => {
    if (typeof value === 'string' && /^[-\d]/.test(value)) return number(value);
    if (Array.isArray(value) && Array.isArray(value[0])) {
      return (value as [string, string][]).map(([at, word]) => ({ value: number(at), word: Number(word) }));
    }
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, read(part)]));
  };
  return read(text) as Drive;
}

/** Equal to all digits that are printed. */
function expectDigits(found: Rational, printed: string): void {
  const [, fraction = '', exponent = '0'] = /^-?\d*\.?(\d*)(?:e(.*))?$/.exec(printed) ?? [];
  const lastDigit = powerOf(10n, Number(exponent) - fraction.length);
  const off = absolute(subtract(found, number(printed)));
  expect(compare(off, multiply(lastDigit, rational(1, 2))), `${found.num}/${found.den} is not ${printed}`).toBeLessThan(
    1,
  );
}

describe('published examples', () => {
  it.each(vectorTests(file))('$id: $group, $comment', ({ input, output }) => {
    const drive = readDrive(input.drive);
    if (output!.step !== undefined) expectDigits(driveResolution(drive), output!.step);
    if (input.value !== undefined) {
      const made = driveOutput(drive, number(input.value));
      expect(made.words.map((word) => word.value)).toEqual(output!.words!.map(BigInt));
      expect(made.limited?.end).toBe(output!.limited);
      if (output!.value !== undefined) expectDigits(made.produced, output!.value);
    }
    if (input.words !== undefined) expectDigits(driveValue(drive, input.words.map(BigInt)), output!.value!);
  });
});

describe('a drive', () => {
  const cases = fc.record({ drive: arbitraryDrive, at: fc.integer({ min: -200, max: 1200 }) });
  const within = fc.record({ drive: arbitraryDrive, at: fc.integer({ min: 0, max: 1000 }) });

  /** A value within or around the span: `at` thousandths of the way through it. */
  function valueAt(drive: Drive, at: number): Rational {
    const { min, max } = driveSpan(drive);
    return add(min, multiply(subtract(max, min), rational(at, 1000)));
  }

  it('produces what its words stand for, and tells the error', () => {
    fc.assert(
      fc.property(cases, ({ drive, at }) => {
        const asked = valueAt(drive, at);
        const made = driveOutput(drive, asked);
        const value = driveValue(
          drive,
          made.words.map((word) => word.value),
        );
        // A table's word may stand for values of several lines.
        if (drive.kind !== 'table') expect(value).toEqual(made.produced);
        expect(made.error).toEqual(subtract(made.produced, asked));
        if (asked.num !== 0n) expect(multiply(made.relative!, absolute(asked))).toEqual(made.error);
        for (const [i, shape] of driveWords(drive).entries()) {
          expect(made.words[i]).toMatchObject(shape);
          expect(made.words[i]!.value).toBe(BigInt.asUintN(shape.bits, made.words[i]!.value));
        }
      }),
    );
  });

  it('is off by at most half its resolution within its span, and never limited there', () => {
    fc.assert(
      fc.property(within, ({ drive, at }) => {
        const asked = valueAt(drive, at);
        const made = driveOutput(drive, asked);
        const step = driveResolution(drive, { min: asked, max: asked });
        expect(made.limited).toBeUndefined();
        expect(compare(multiply(absolute(made.error), rational(2)), step)).toBeLessThanOrEqual(0);
      }),
    );
  });

  it('is held at its span, and says so, beyond it', () => {
    fc.assert(
      fc.property(cases, ({ drive, at }) => {
        const asked = valueAt(drive, at);
        const { min, max } = driveSpan(drive);
        const { produced, limited } = driveOutput(drive, asked);
        if (limited === undefined) return;
        const end = limited.end === 'low' ? min : max;
        const stopped = drive.kind === 'timer' && drive.of === 'frequency' && asked.num < 0n;
        expect(produced).toEqual(stopped ? rational(0) : end);
        expect(compare(asked, end)).toBe(limited.end === 'low' ? -1 : 1);
      }),
    );
  });

  it('gives the words back for the value they stand for', () => {
    fc.assert(
      fc.property(cases, ({ drive, at }) => {
        const made = driveOutput(drive, valueAt(drive, at));
        const again = driveOutput(drive, made.produced);
        expect(again.produced).toEqual(made.produced);
        expect(again.error.num).toBe(0n);
        if (drive.kind !== 'timer' && drive.kind !== 'table') expect(again.words).toEqual(made.words);
      }),
    );
  });
});

describe('limits', () => {
  const tone: Drive = { kind: 'phase-accumulator', width: 32, clock: rational(20_000) };
  const hertz = integerType({ bits: 16, decimal: -2, unit: 0x2722 });

  it('of a phase accumulator are standstill and half the clock', () => {
    expect(driveOutput(tone, rational(0)).words[0]!.value).toBe(0n);
    expect(driveOutput(tone, rational(10_000))).toMatchObject({ words: [{ value: 1n << 31n }], limited: undefined });
    expect(driveOutput(tone, rational(12_000), hertz).limited?.message).toBe(
      '12000 Hz is above 10000 Hz, half the clock',
    );
    expect(driveOutput(tone, rational(-1), hertz).limited?.message).toBe('-1 Hz is below 0 Hz, standstill');
  });

  it('of a frequency timer leave 0 as a stopped timer', () => {
    const timer: Drive = { kind: 'timer', clock: rational(1000), prescalers: [1, 8], reloadBits: 8, of: 'frequency' };
    expect(driveOutput(timer, rational(0))).toMatchObject({
      words: [{ name: 'run', value: 0n }, {}, {}],
      limited: undefined,
    });
    expect(driveOutput(timer, rational(1, 10), hertz)).toMatchObject({
      words: [{ value: 1n }, { value: 1n }, { value: 255n }],
      limited: { end: 'low', message: '0.1 Hz is below 0.48828125 Hz, the highest reload and prescaler' },
    });
    expect(driveOutput(timer, rational(1001), hertz).limited?.message).toBe(
      '1001 Hz is above 1000 Hz, one count of the lowest prescaler',
    );
  });
});

describe('units', () => {
  const speed = integerType({ bits: 16, unit: 0x27a8 });
  const stepper: Drive = { kind: 'phase-accumulator', width: 24, clock: rational(1000) };

  it('turn per minute is a sixtieth of hertz', () => {
    expect(driveOutput(stepper, rational(600), speed).words).toEqual(driveOutput(stepper, rational(10)).words);
    expect(driveResolution(stepper, undefined, speed)).toEqual(divide(rational(60_000), rational(1n << 24n)));
    expect(driveValue(stepper, [1n << 20n], speed)).toEqual(rational(3750));
  });

  it('minute is sixty seconds', () => {
    const timer: Drive = { kind: 'timer', clock: rational(100), prescalers: [1], reloadBits: 16, of: 'period' };
    const minutes = integerType({ bits: 8, unit: 0x2760 });
    expect(driveOutput(timer, rational(2), minutes)).toMatchObject({ words: [{ value: 11_999n }], error: { num: 0n } });
  });

  it('do not go with every drive', () => {
    expect(drivable(speed, stepper)).toBeUndefined();
    expect(drivable(integerType({ bits: 16, unit: 0x272f }), stepper)).toBe(
      'a phase-accumulator drive needs a frequency (hertz, revolution per minute, beat per minute); this is in degree celsius',
    );
    expect(
      drivable(integerType({ bits: 16, unit: 0x2722 }), {
        kind: 'timer',
        clock: rational(1),
        prescalers: [1],
        reloadBits: 8,
        of: 'period',
      }),
    ).toBe('a timer drive needs a time (second, minute, hour, day); this is in hertz');
  });
});

describe('types that cannot be driven', () => {
  it('are named', () => {
    expect(drivable({ kind: 'float', format: 'float32', unit: 0x2722, range: undefined, step: undefined })).toBe(
      'a drive counts in whole steps and needs an integer type; this is float32',
    );
    expect(drivable({ kind: 'boolean' })).toMatch(/this is boolean$/);
    expect(drivable(integerType({ bits: 128 }))).toBe('a drive takes codes of at most 64 bits; this type has 128');
  });
});

describe('table words', () => {
  const drive: Drive = {
    kind: 'table',
    bits: 8,
    points: [
      { value: rational(0), word: 10 },
      { value: rational(4), word: 50 },
    ],
  };

  it('that no line passes stand for the nearest point', () => {
    expect(driveValue(drive, [0n])).toEqual(rational(0));
    expect(driveValue(drive, [200n])).toEqual(rational(4));
  });

  it('have decimals where the line has', () => {
    expect(decimalPlaces(driveValue(drive, [11n]).den)).toBe(1);
    expect(equal(driveResolution(drive), rational(1, 10))).toBe(true);
  });
});
