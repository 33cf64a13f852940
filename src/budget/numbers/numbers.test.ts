import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryFloat, arbitraryInteger } from '../../../test/support/arbitrary-type.ts';
import { compiledOf, exampleNames, exampleTable } from '../../../test/support/budget-bench.ts';
import { benchWith } from '../../../test/support/contract-text.ts';
import { absolute, add, compare, multiply, rational, subtract, toDouble } from '../../base/rational.ts';
import { decode, encode } from '../../values/codec.ts';
import { toCoded } from '../../values/physical.ts';
import type { FloatType, IntegerType } from '../../values/type.ts';
import { misreadings, type MisreadingKind } from './misreading.ts';
import { numbersOf } from './numbers.ts';
import { idealSnr, quantisation } from './quantisation.ts';

const numberOf = (text: string) => numbersOf(compiledOf(benchWith(text)).table).numbers[0]!;
const integer = (text: string): IntegerType => {
  const { type } = compiledOf(benchWith(text)).table.values[0]!;
  if (type.kind !== 'integer') throw new Error('no integer');
  return type;
};

describe('quantisation', () => {
  it('is half a step at the worst', () => {
    const { coding } = numberOf(
      'id: f, type: uint16, scale: { decimal: -2 }, range: [0, 4], step: 0.01, access: [read]',
    );
    expect(coding.resolution).toEqual(rational(1, 100));
    expect(coding.worst).toEqual(rational(1, 200));
    expect(coding.codes).toEqual({ used: 401n, all: 65_536n });
    expect(coding.wished).toEqual({ step: rational(1, 100), reached: true });
  });

  // IEEE 754: the numbers from 1 to 2 lie 2^-23 apart in float32.
  it.each<[FloatType['format'], number, number, number]>([
    ['float32', 1.5, 2 ** -23, 2 ** -24],
    ['float32', 2, 2 ** -22, 2 ** -24],
    ['float64', 1.5, 2 ** -52, 2 ** -53],
    // IEEE 11073: 20.45 is the largest number with two places of an SFLOAT.
    ['medfloat16', 20, 0.01, 1 / 410],
    ['medfloat16', 21, 0.1, 1 / 410],
    ['medfloat32', 80_000, 0.01, 1 / 1_677_722],
  ])('of %s at %d is %d', (format, largest, step, relative) => {
    const type: FloatType = {
      kind: 'float',
      format,
      unit: 0x2700,
      range: { min: rational(0), max: rational(Math.round(largest * 10), 10) },
      step: undefined,
    };
    const { resolution, worst, relative: seen } = quantisation(type);
    expect(toDouble(resolution!)).toBeCloseTo(step, 20);
    expect(toDouble(worst!)).toBeCloseTo(step / 2, 20);
    expect(toDouble(seen!)).toBeCloseTo(relative, 20);
  });

  it('holds for whatever is coded: no error exceeds the worst', () => {
    const places = fc.bigInt({ min: 0n, max: 10n ** 12n });
    fc.assert(
      fc.property(fc.oneof(arbitraryInteger, arbitraryFloat), places, (type, place) => {
        if (type.range === undefined) return;
        const { min, max } = type.range;
        const asked = add(min, multiply(subtract(max, min), rational(place, 10n ** 12n)));
        const coded = toCoded(type, { kind: 'number', value: asked });
        const { worst } = quantisation(type);
        if (!coded.ok || worst === undefined) return;
        expect(compare(absolute(coded.value.error), worst)).toBeLessThanOrEqual(0);
      }),
      { numRuns: 300 },
    );
  });
});

describe('drives', () => {
  // Converter arithmetic: 3.3 V over 2^12 is 0.806 mV; 6.02 N + 1.76 = 74.0 dB (Analog Devices MT-001).
  it('gives an ADC of 12 bits at 3.3 V steps of 0.806 mV and 74.0 dB', () => {
    const soil = numbersOf(exampleTable('greenhouse')).numbers.find(({ id }) => id === 'soil')!;
    expect(toDouble(soil.drive!.resolution) * 1000).toBeCloseTo(0.806, 3);
    expect(soil.drive!.idealSnrDb).toBeCloseTo(74.0, 1);
    expect(idealSnr(1)).toBeCloseTo(6.02 + 1.76, 1);
  });

  // Tuning word: step = clock / 2^width; 20 kHz / 2^32 = 4.66 µHz, and the nearest word is half of that away at most.
  it('gives the phase accumulator of the demo steps of 4.66 µHz', () => {
    const paddle = numbersOf(exampleTable('wave-tank')).numbers.find(({ id }) => id === 'paddle')!;
    expect(toDouble(paddle.drive!.resolution) * 1e6).toBeCloseTo(20_000 / 2 ** 32 / 1e-6, 6);
    expect(compare(paddle.drive!.worst, multiply(paddle.drive!.resolution, rational(1, 2)))).toBeLessThanOrEqual(0);
    expect(paddle.drive!.worst.num).toBeGreaterThan(0n);
  });
});

describe('misreadings', () => {
  /** An oracle of its own: octets through DataView. */
  const seenAs = (kind: MisreadingKind, code: number, signed: boolean): number => {
    const view = new DataView(new ArrayBuffer(2));
    if (signed) view.setInt16(0, code, true);
    else view.setUint16(0, code, true);
    switch (kind) {
      case 'other byte order':
        return signed ? view.getInt16(0) : view.getUint16(0);
      case 'signed as unsigned':
        return view.getUint16(0, true);
      case 'unsigned as signed':
        return view.getInt16(0, true);
      case 'half the width':
        return signed ? view.getInt8(0) : view.getUint8(0);
      default:
        throw new Error(kind);
    }
  };

  it.each([
    ['uint16', 0, 400],
    ['uint16', 0, 65_535],
    ['sint16', -2500, 2500],
    ['uint16', 300, 4000],
  ])('of %s from %d to %d are counted as an independent reader counts them', (type, min, max) => {
    const text = `id: x, type: ${type}, range: [${min}, ${max}], access: [read]`;
    const report = misreadings(integer(text))!;
    const signed = type.startsWith('s');
    for (const { kind, same, plausible, outside } of report.kinds) {
      const count = { same: 0, plausible: 0, outside: 0 };
      for (let code = min; code <= max; code++) {
        const seen = seenAs(kind, code, signed);
        count[seen === code ? 'same' : seen >= min && seen <= max ? 'plausible' : 'outside'] += 1;
      }
      const total = max - min + 1;
      const exact = report.exhaustive ? 9 : 1.5;
      expect(same).toBeCloseTo(count.same / total, exact);
      expect(plausible).toBeCloseTo(count.plausible / total, exact);
      expect(outside).toBeCloseTo(count.outside / total, exact);
    }
  });

  it('go unnoticed where no range says what cannot be', () => {
    expect(misreadings(integer('id: x, type: uint16, access: [read]'))!.unnoticed).toContain('other byte order');
    const bounded = misreadings(integer('id: x, type: uint16, scale: { decimal: -2 }, range: [0, 4], access: [read]'))!;
    expect(bounded.unnoticed).toEqual(['half the width']);
    // 0 to 400 never have the sign bit: such a reader is right by chance.
    expect(bounded.kinds.find(({ kind }) => kind === 'unsigned as signed')!.same).toBe(1);
    expect(bounded.telling!.shows).toContain('other byte order');
    expect(bounded.telling!.shows).toContain('scale forgotten');
  });

  it('sum to one, and the telling value shows what it says', () => {
    fc.assert(
      fc.property(arbitraryInteger, (type) => {
        const report = misreadings(type);
        if (report === undefined) return;
        for (const { same, plausible, outside } of report.kinds) {
          if (same + plausible + outside > 0) expect(same + plausible + outside).toBeCloseTo(1, 9);
        }
        if (report.telling === undefined) return;
        const coded = toCoded(type, { kind: 'number', value: report.telling.value });
        expect(coded.ok).toBe(true);
        if (!coded.ok) return;
        const bytes = encode(type, coded.value.coded);
        expect(bytes.ok && decode(type, bytes.value).ok).toBe(true);
      }),
      { numRuns: 100 },
    );
  });
});

describe('cuts', () => {
  it('tells what a client sees of a long text before it raises the MTU', () => {
    const { cuts } = numbersOf(exampleTable('wave-tank'));
    const note = cuts.find(({ id }) => id === 'note')!;
    // 23 - 3 octets (Core Vol 3 Part F 3.4.7.1): 20 ASCII letters, or five characters of four octets.
    expect(note).toMatchObject({ octets: 40, keptAtDefault: 20, kept: 40, by: 'notification', neededMtu: 43 });
    expect(note.characters).toEqual({ least: 5, most: 20 });
    expect(cuts.find(({ id }) => id === 'caption')).toMatchObject({ by: 'write', neededMtu: 63 });
    expect(cuts.some(({ id }) => id === 'paddle')).toBe(false);
  });

  it('has something to say of every example', () => {
    for (const name of exampleNames) {
      const { numbers, cuts } = numbersOf(exampleTable(name));
      expect(numbers.length).toBeGreaterThan(0);
      for (const { octets, keptAtDefault, kept } of cuts) {
        expect(keptAtDefault).toBeLessThan(octets);
        expect(kept).toBeGreaterThanOrEqual(keptAtDefault);
      }
    }
  });
});
